#include "viewmodels/camera_page_model.h"

#include <mutex>
#include <utility>

namespace discal::viewmodels {

namespace {

/// Pixels of the view: as many as the densest phones have across it.
constexpr int kMostViewSide = 720;
/// Codes that a reading is compared with at most; of longer rolls those from the next one on. Our choice.
constexpr std::size_t kMostCodes = 5000;
/// What stands before a run that another phone shows; see HandRunModel.
const QString kRunPrefix = QStringLiteral("DISCAL:");

} // namespace

/// Filled by the threads of camera and reader, emptied by the screen's; the newest of each kind only.
struct CameraPageModel::Inbox {
    struct Read {
        services::Reading reading;
        TagReading tag;
    };
    std::mutex mutex;
    QImage picture;
    std::optional<Read> read;
    std::optional<Error> end;
    Keeping keeping{Keeping::Nothing};
    bool isPosted{false};
    CameraPageModel* owner{nullptr};

    /// With the lock: has it looked through, once for all that came meanwhile.
    void post() {
        if (!std::exchange(isPosted, true))
            QMetaObject::invokeMethod(owner, [model = owner] { model->collect(); }, Qt::QueuedConnection);
    }
    void clear() {
        const std::lock_guard lock(mutex);
        picture = {};
        read.reset();
        end.reset();
    }
};

CameraPageModel::CameraPageModel(FieldPhone& phone, QObject* parent)
    : QObject(parent), m_phone(phone), m_inbox(std::make_shared<Inbox>()) {
    m_inbox->owner = this;
}

// First the look, whose threads tell the inbox; events that are posted already go with this object.
CameraPageModel::~CameraPageModel() { m_look.reset(); }

void CameraPageModel::setEyes(services::FrameSource& frames, services::TagLook::MakeReader makeReader) {
    m_frames = &frames;
    services::TagLook::Ears ears;
    ears.onFrame = [box = m_inbox](const services::Frame& frame) {
        QImage picture = shownOf(frame, kMostViewSide);
        const std::unique_lock lock(box->mutex);
        box->picture = std::move(picture);
        box->post();
    };
    ears.onReading = [box = m_inbox](const services::Reading& reading) {
        Keeping keeping{};
        {
            const std::lock_guard lock(box->mutex);
            keeping = box->keeping;
        }
        Inbox::Read read{reading, {}};
        if (reading.verdict != services::Verdict::Refused)
            read.tag = readingOf(reading, keeping);
        read.reading.upright = {};
        const std::lock_guard lock(box->mutex);
        box->read = std::move(read);
        box->post();
    };
    ears.onEnd = [box = m_inbox](const Error& error) {
        const std::lock_guard lock(box->mutex);
        box->end = error;
        box->post();
    };
    m_look = std::make_unique<services::TagLook>(frames, std::move(makeReader), std::move(ears));
}

void CameraPageModel::setKeepsPictures(bool keeps) {
    const std::lock_guard lock(m_inbox->mutex);
    m_inbox->keeping = keeps ? Keeping::Picture : Keeping::Nothing;
}

void CameraPageModel::setAwake(bool isAwake) {
    if (isAwake == std::exchange(m_isAwake, isAwake))
        return;
    if (!isAwake) {
        if (m_look)
            m_look->rest();
        if (m_state == Opening || m_state == Aiming)
            end(Asleep);
    } else if (m_state == Asleep) {
        begin();
    }
}

QString CameraPageModel::title() const {
    switch (m_purpose) {
    case NextTag:
        return tr("Aim at the next tag");
    case Already:
        return tr("Aim at its tag");
    case Label:
        return tr("Aim at the sheet’s label");
    case Run:
        return tr("Aim at the other phone");
    }
    return {};
}

QString CameraPageModel::firstAdvice() const {
    switch (m_purpose) {
    case NextTag:
    case Already:
        return tr("Fill the ring with the tag.");
    case Label:
        return tr("Its printed code, or the first tag and then the last.");
    case Run:
        return tr("Fill the view with the code that it shows.");
    }
    return {};
}

QString CameraPageModel::advice() const {
    switch (m_state) {
    case NoCamera:
        return tr("This phone has no camera that Discal can use.");
    case NotAllowed:
        return tr("Discal may not use the camera. It is allowed in the phone’s settings.");
    case NoReader:
        return tr("What reads tags could not be started.");
    case Broken:
        return tr("The camera does not answer. Another program may be using it.");
    case Asleep:
        return tr("The camera rests.");
    case Closed:
    case Opening:
    case Aiming:
        break;
    }
    return m_advice;
}

QString CameraPageModel::adviceOn(services::Refusal why) {
    switch (why) {
    case services::Refusal::NoTag:
        return tr("No tag seen yet: fill the ring.");
    case services::Refusal::TooFar:
        return tr("Come closer.");
    case services::Refusal::Blurred:
        return tr("Hold still.");
    case services::Refusal::Glare:
        return tr("Turn away from the sun.");
    case services::Refusal::Covered:
        return tr("Lift your finger off the print.");
    case services::Refusal::Unsure:
        return tr("Not sure yet. Hold it straight before the camera.");
    }
    return {};
}

services::Wanted CameraPageModel::wanted() {
    services::Wanted wanted;
    wanted.hasTags = m_purpose != Run;
    wanted.hasBarcodes = m_purpose == Label || m_purpose == Run;
    if (!wanted.hasTags || m_purpose == Label)
        return wanted;
    // Used ones too: taken for a free neighbour, such a tag would be written down twice.
    const auto add = [&](const tag::Sheet& sheet) {
        if (!sheet.run)
            return;
        wanted.schemes.push_back(sheet.run->scheme);
        for (std::uint32_t i = 0; i < sheet.run->count && wanted.codes.size() < kMostCodes; ++i)
            wanted.codes.push_back(sheet.run->at(i));
    };
    const auto next = m_phone.stock.nextFree();
    const std::optional<tag::Code> offered = next ? *next : std::nullopt;
    if (const auto sheets = m_phone.projections().sheets()) {
        for (const tag::Sheet& sheet : *sheets)
            if (offered && sheet.contains(*offered))
                add(sheet);
        for (const tag::Sheet& sheet : *sheets)
            if (!offered || !sheet.contains(*offered))
                add(sheet);
    }
    return wanted;
}

void CameraPageModel::open(const QString& purpose) {
    close();
    m_purpose = purpose == QLatin1String("already") ? Already
                : purpose == QLatin1String("label") ? Label
                : purpose == QLatin1String("run")   ? Run
                                                    : NextTag;
    if (m_isAwake)
        begin();
    else
        end(Asleep);
}

void CameraPageModel::begin() {
    m_advice = firstAdvice();
    m_hindrance.reset();
    m_inbox->clear();
    if (!m_look)
        return end(NoCamera);
    m_state = Opening;
    if (const auto started = m_look->start(wanted()); !started)
        return end(started.error().code == Code::NotFound     ? NoCamera
                   : started.error().code == Code::NotAllowed ? NotAllowed
                                                              : Broken);
    emit changed();
}

void CameraPageModel::end(State state) {
    if (m_look)
        m_look->stop();
    m_inbox->clear();
    m_state = state;
    m_hasTorch = false;
    m_isTorchOn = false;
    if (!m_picture.isNull()) {
        m_picture = {};
        emit pictureChanged();
    }
    emit changed();
}

void CameraPageModel::close() {
    if (m_state != Closed)
        end(Closed);
}

void CameraPageModel::turnTorch() {
    if (!m_hasTorch)
        return;
    using Torch = services::FrameSource::Torch;
    m_isTorchOn = !m_isTorchOn;
    m_frames->setTorch(m_isTorchOn ? Torch::On : Torch::Off);
    emit changed();
}

void CameraPageModel::focusOn(double x, double y) {
    if (m_state == Aiming)
        m_frames->focusOn(x, y);
}

void CameraPageModel::collect() {
    QImage picture;
    std::optional<Inbox::Read> read;
    std::optional<Error> error;
    {
        const std::lock_guard lock(m_inbox->mutex);
        m_inbox->isPosted = false;
        picture = std::exchange(m_inbox->picture, {});
        read = std::exchange(m_inbox->read, std::nullopt);
        error = std::exchange(m_inbox->end, std::nullopt);
    }
    if (m_state != Opening && m_state != Aiming)
        return;
    if (!picture.isNull()) {
        m_picture = std::move(picture);
        emit pictureChanged();
        if (m_state == Opening) {
            m_state = Aiming;
            m_hasTorch = m_frames->hasTorch();
            emit changed();
        }
    }
    if (read)
        take(read->reading, read->tag);
    if (error && (m_state == Opening || m_state == Aiming)) {
        // Without a camera no frame has come; what is not found later on is the reader's.
        const bool isReader = m_state == Aiming && error->code != Code::NotAllowed && error->code != Code::Io;
        end(isReader                          ? NoReader
            : error->code == Code::NotFound   ? NoCamera
            : error->code == Code::NotAllowed ? NotAllowed
                                              : Broken);
    }
}

void CameraPageModel::take(const services::Reading& reading, const TagReading& tag) {
    if (takeBarcodes(reading.barcodes))
        return;
    if (reading.verdict == services::Verdict::Refused) {
        // One frame in between says nothing: the words would flicker.
        if (m_purpose == NextTag || m_purpose == Already)
            if (m_hindrance == reading.why)
                setAdvice(adviceOn(reading.why));
        m_hindrance = reading.why;
        return;
    }
    const Purpose purpose = m_purpose;
    if (purpose == Label) {
        if (!tag.code) {
            // It says nothing that a sheet could begin with: look on.
            begin();
            return;
        }
        close();
        emit finished();
        emit labelRead({tag::Scheme::of(*tag.code), *tag.code, 0, 0});
        return;
    }
    close();
    emit finished();
    emit tagRead(tag, purpose);
}

bool CameraPageModel::takeBarcodes(const std::vector<services::Barcode>& barcodes) {
    for (const services::Barcode& barcode : barcodes) {
        const QString text = QString::fromStdString(barcode.text);
        const bool isRun = text.startsWith(kRunPrefix, Qt::CaseInsensitive);
        const auto label = tag::readLabel(barcode.text);
        if (m_purpose == Run && isRun) {
            close();
            emit finished();
            emit runRead(text);
            return true;
        }
        if (m_purpose == Label && label) {
            close();
            emit finished();
            emit labelRead(*label);
            return true;
        }
        if (m_purpose == Run)
            setAdvice(label ? tr("That is the label of a sheet. The other phone shows its code under Hand tags.")
                            : tr("That is no code of another phone."));
        else if (m_purpose == Label)
            setAdvice(isRun ? tr("That is handed over by another phone. Take it under Take tags.")
                      : label.error().code == Code::NewerFile ? tr("That label is for a newer Discal.")
                                                              : tr("That is no label of a sheet."));
    }
    return false;
}

void CameraPageModel::setAdvice(const QString& advice) {
    if (advice == m_advice)
        return;
    m_advice = advice;
    emit changed();
}

} // namespace discal::viewmodels
