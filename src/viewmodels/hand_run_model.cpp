#include "viewmodels/hand_run_model.h"

#include "core/text/base_n.h"
#include "sync/delivery.h"
#include "sync/parcel.h"

#include <QClipboard>
#include <QGuiApplication>
#include <algorithm>

namespace discal::viewmodels {

using journal::DeviceId;

namespace {

/// What stands before the parcel's bytes in base45, so that no other code is taken for one of ours; and behind them,
/// since base45 may end in blanks, which get lost on the way.
constexpr const char* kPrefix = "DISCAL:";
constexpr char kEnd = '.';
/// Characters that the largest QR code holds in its alphanumeric mode: version 40, level L (ISO/IEC 18004, table 7).
constexpr std::size_t kMostCharacters = 4296;
/// Lines of our chain that are tried at most: more never fit.
constexpr std::int64_t kMostLines = 64;

std::string payloadOf(const std::string& parcel) { return kPrefix + text::base45(text::bytesOf(parcel)) + kEnd; }

} // namespace

HandRunModel::HandRunModel(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {}

tag::RunSet HandRunModel::heldHere() {
    tag::RunSet held;
    const std::string device = m_phone.journal().device().text();
    if (const auto sheets = m_phone.projections().sheetsHeldBy(m_phone.journal().device()))
        for (const tag::Sheet& sheet : *sheets)
            if (const auto holding = sheet.holders.find(device); holding != sheet.holders.end())
                held.add(holding->second);
    return held;
}

void HandRunModel::begin() {
    m_runs.clear();
    m_runNames.clear();
    m_others.clear();
    m_deviceNames.clear();
    m_run = -1;
    m_count = -1;
    m_device = -1;
    m_deviceCode.clear();
    m_handed.clear();
    m_payload.clear();
    m_carries.clear();
    m_pasted.clear();
    m_first.clear();
    m_countText.clear();
    m_taken.clear();
    // Only what is free: used tags stay with whoever used them.
    tag::RunSet free;
    for (const tag::Run& run : heldHere().runs())
        for (std::uint32_t i = 0; i < run.count; ++i)
            if (const auto offered = m_phone.projections().isOfferedBy(run.at(i), m_phone.journal().device());
                offered && *offered)
                free.add(run.at(i));
    m_runs = free.runs();
    for (const tag::Run& run : m_runs)
        m_runNames << QString::fromStdString(run.text());
    if (m_runs.size() == 1)
        m_run = 0;
    if (const auto records = m_phone.projections().records(journal::RecordType::Device))
        for (const auto& record : *records) {
            const std::string id = record.key.substr(record.key.find(' ') + 1);
            const auto device = DeviceId::parse(id);
            if (!device || *device == m_phone.journal().device())
                continue;
            const auto name = journal::textIn(record.members, "name");
            // Many phones have no name of their own.
            const QString code = QString::fromStdString(id.substr(0, 4));
            m_others.push_back({*device, name ? tr("%1, %2 …", "name of a phone, how its code begins")
                                                    .arg(QString::fromStdString(std::string(*name)), code)
                                              : code + QStringLiteral(" …")});
            m_deviceNames << m_others.back().name;
        }
    lookBack();
    m_failure.dismiss();
    emit drafted();
    emit takingDrafted();
    emit shown();
}

void HandRunModel::setDevice(int device) {
    m_device = device;
    m_deviceCode.clear();
    emit drafted();
}

void HandRunModel::setDeviceCode(const QString& code) {
    if (code == m_deviceCode)
        return;
    m_deviceCode = code;
    m_device = -1;
    emit drafted();
}

std::optional<tag::Run> HandRunModel::chosenRun() const {
    if (m_run < 0 || m_run >= static_cast<int>(m_runs.size()) || m_count < 0)
        return std::nullopt;
    const tag::Run& run = m_runs[static_cast<std::size_t>(m_run)];
    const auto count = static_cast<std::uint32_t>(m_count);
    if (count == 0 || count >= run.count)
        return run;
    const auto part = tag::makeRun(run.scheme, run.first + run.count - count, count);
    return part ? std::optional(*part) : std::nullopt;
}

std::optional<DeviceId> HandRunModel::chosenDevice() const {
    if (m_device >= 0 && m_device < static_cast<int>(m_others.size()))
        return m_others[static_cast<std::size_t>(m_device)].id;
    const auto id = DeviceId::parse(QString(m_deviceCode).remove(QLatin1Char(' ')).toLower().toStdString());
    if (!id || *id == m_phone.journal().device())
        return std::nullopt;
    return *id;
}

QString HandRunModel::understood() const {
    const auto run = chosenRun();
    return run ? QString::fromStdString(run->text()) : QString();
}

QString HandRunModel::advice() const {
    if (m_runs.empty())
        return tr("No free tag is on this phone.");
    if (const auto run = chosenRun(); !run)
        return m_run < 0 ? tr("Which tags?") : tr("How many of them, from the end?");
    if (chosenDevice())
        return tr("From then on this phone no longer offers them.");
    return m_deviceCode.isEmpty() ? tr("Which phone gets them?")
                                  : tr("The code of a phone has 26 letters and digits. It stands there under Take tags.");
}

bool HandRunModel::hand() {
    const auto run = chosenRun();
    const auto device = chosenDevice();
    if (!run || !device)
        return false;
    const auto saved = m_phone.done(m_phone.stock.hand(*run, *device));
    if (!saved)
        return failed(FieldPhone::sentenceFor(saved.error()));
    m_failure.dismiss();
    m_handed = QString::fromStdString(run->text());
    makePayload();
    emit shown();
    return true;
}

void HandRunModel::lookBack() {
    m_handedBefore.clear();
    auto& journal = m_phone.journal();
    const std::int64_t head = journal.head().seq;
    for (std::int64_t seq = head; seq > 0 && seq > head - kMostLines; --seq) {
        const auto bytes = journal.file().line(journal.device(), seq);
        const auto line = bytes && *bytes ? journal::parseLine(**bytes) : fail(discal::Code::NotFound);
        if (!line || journal::kindOf(line->kind) != journal::Kind::SheetHanded)
            continue;
        if (const auto run = tag::runIn(line->body))
            m_handedBefore = QString::fromStdString(run->text());
        return;
    }
}

void HandRunModel::showAgain() {
    m_handed = m_handedBefore;
    makePayload();
    emit shown();
}

void HandRunModel::makePayload() {
    m_payload.clear();
    m_carries.clear();
    auto& journal = m_phone.journal();
    const std::int64_t head = journal.head().seq;
    // The more lines it carries, the more phones can read on from where they are.
    std::int64_t low = 0;
    std::int64_t high = std::min(head, kMostLines);
    std::string best;
    while (low < high) {
        const std::int64_t lines = (low + high + 1) / 2;
        const auto delivery = sync::deliveryOf(journal, journal.device(), head - lines + 1, sync::Blobs::Without);
        const auto parcel = delivery ? sync::encodeParcel(*delivery) : fail(delivery.error());
        if (parcel && payloadOf(*parcel).size() <= kMostCharacters) {
            best = payloadOf(*parcel);
            low = lines;
        } else {
            high = lines - 1;
        }
    }
    if (best.empty()) {
        m_carries = tr("This is too much for one code. Send a parcel file to the other phone.");
        return;
    }
    m_payload = QString::fromStdString(best);
    m_carries = low == head
                    ? tr("It holds all that this phone has written.")
                    : tr("It holds this phone’s last %n lines. A phone that lacks earlier ones needs a parcel file first.",
                         "", static_cast<int>(low));
}

QString HandRunModel::picture() const {
    return m_payload.isEmpty() ? QString()
                               : QStringLiteral("image://qr/") + QString::fromLatin1(m_payload.toLatin1().toHex());
}

void HandRunModel::copyPayload() const { QGuiApplication::clipboard()->setText(m_payload); }

void HandRunModel::paste() {
    m_pasted = QGuiApplication::clipboard()->text();
    emit takingDrafted();
}

void HandRunModel::takeText(const QString& text) {
    m_pasted = text;
    emit takingDrafted();
}

std::optional<tag::Run> HandRunModel::typedRun() const {
    bool isCount = false;
    const uint count = m_countText.trimmed().toUInt(&isCount);
    if (!isCount || count == 0 || m_first.trimmed().isEmpty())
        return std::nullopt;
    const auto run = tag::parseRun(m_first.trimmed().toStdString(), count);
    return run ? std::optional(*run) : std::nullopt;
}

QString HandRunModel::inHand() const {
    const auto run = typedRun();
    return run ? QString::fromStdString(run->text()) : QString();
}

bool HandRunModel::take() {
    const tag::RunSet before = heldHere();
    if (!m_pasted.trimmed().isEmpty()) {
        const std::string typed = m_pasted.trimmed().toUpper().toStdString();
        const std::string_view prefix = kPrefix;
        if (!typed.starts_with(prefix))
            return failed(tr("That is no code from another phone. It begins with DISCAL."));
        std::string_view code = std::string_view(typed).substr(prefix.size());
        const bool isWhole = code.ends_with(kEnd);
        code.remove_suffix(isWhole ? 1 : 0);
        const auto bytes = text::fromBase45(code);
        const auto delivery = isWhole && bytes ? sync::decodeParcel(std::string(bytes->begin(), bytes->end()))
                                               : fail(discal::Code::BadInput);
        if (!delivery)
            return failed(tr("Some of the code is missing or changed. Take it over whole."));
        const auto receipt = m_phone.journal().receive(*delivery);
        if (!receipt)
            return failed(receipt.error().code == discal::Code::Gap
                              ? tr("Earlier lines of that phone are not here yet. Take its parcel file first; or say "
                                   "below which sheet is in your hand.")
                              : FieldPhone::sentenceFor(receipt.error()));
    } else {
        const auto run = typedRun();
        if (!run)
            return false;
        if (const auto saved = m_phone.stock.take(*run); !saved)
            return failed(FieldPhone::sentenceFor(saved.error()));
    }
    m_phone.stock.lookAgain();
    tag::RunSet fresh = heldHere();
    fresh.remove(before);
    QStringList names;
    for (const tag::Run& run : fresh.runs())
        names << QString::fromStdString(run.text());
    m_taken = names.isEmpty() ? tr("Taken in. No tag came to this phone by it.")
                              : tr("%1 is with this phone now.").arg(names.join(tr(", ", "between runs")));
    m_failure.dismiss();
    m_phone.done(Result<void>());
    emit shown();
    return true;
}

bool HandRunModel::failed(const QString& sentence) {
    m_failure.set(sentence);
    return false;
}

} // namespace discal::viewmodels
