#include "app/app.h"
#include "app/session_phone.h"
#include "app/shots.h"
#include "devices/battery.h"
#include "devices/camera.h"
#include "devices/feedback.h"
#include "devices/receiver.h"
#include "devices/video_frames.h"
#include "reading/reader.h"
#include "services/picture_frames.h"
#include "services/system/own_gazetteer.h"
#include "services/system/own_journal.h"
#include "services/system/system_clock.h"
#include "services/system/system_randomness.h"

#include <QGeoPositionInfoSource>
#include <QGuiApplication>
#include <QTimer>
#include <iostream>

// The app. main is the only place that knows everyone: it opens the journal, makes the devices, and joins them.

namespace {

using namespace discal;

struct Choices {
    QString journal;
    QString session;
    QString shots;
    QString shotsOf;
    bool isSelfTest{false};
};

void usage() {
    std::cout << "discal: the field journal\n\n"
                 "  discal                  opens your own journal\n"
                 "  discal --journal FILE   opens another\n"
                 "  discal --session DIR    plays a sample day as clock and receiver; a person taps\n"
                 "                          (pictures in DIR/frames stand for the camera)\n"
                 "  discal --self-test      loads every page, exits 1 on any complaint\n"
                 "  discal --shots DIR [SO] writes a picture of every page, or of those whose names begin SO\n";
}

/// Place names, where their file is: without it a position is told by its numbers and the site.
std::optional<services::OpenGazetteer> placeNames() {
    auto names = services::openOwn();
    if (!names) {
        std::cerr << "No place names: " << names.error().detail << "\n";
        return std::nullopt;
    }
    return std::move(*names);
}

/// The phone's places get words. Behind the first screen the whole file is compared with its checksum: damaged, it must
/// name nothing.
void nameAndCheckLater(const std::optional<services::OpenGazetteer>& places, viewmodels::FieldPhone& phone) {
    if (!places)
        return;
    phone.session.placeWords().setNames(&places->names);
    QTimer::singleShot(std::chrono::seconds(3), &phone, [&places, &phone] {
        if (!places->names.verify()) {
            std::cerr << "The file of place names is damaged; positions have no words.\n";
            phone.session.placeWords().setNames(nullptr);
        }
    });
}

/// Ticks and words for what the phone says, as the settings allow.
void listen(app::App& app, devices::Feedback& feedback) {
    const auto follow = [&app, &feedback] {
        feedback.setSoundOn(app.settings.isSoundOn());
        feedback.setSpeechOn(app.settings.isSpeechOn());
    };
    follow();
    QObject::connect(&app.settings, &viewmodels::SettingsModel::changed, &feedback, follow);
    QObject::connect(&app.phone, &viewmodels::FieldPhone::feedback, &feedback,
                     [&feedback](viewmodels::FieldPhone::Feedback which) {
                         switch (which) {
                         case viewmodels::FieldPhone::Feedback::Saved:
                             return feedback.saved();
                         case viewmodels::FieldPhone::Feedback::Look:
                             return feedback.look();
                         case viewmodels::FieldPhone::Feedback::Refused:
                             return feedback.refused();
                         }
                     });
    QObject::connect(&app.tag, &viewmodels::TagPageModel::spoken, &feedback, &devices::Feedback::speak);
}

int runOwn(const Choices& choices) {
    auto pages = app::App::beginLoading();
    app::App::prepare();
    std::filesystem::path path = choices.journal.toStdString();
    if (path.empty()) {
        const auto own = services::ownJournal();
        if (!own) {
            std::cerr << own.error().detail << "\n";
            return 1;
        }
        path = *own;
        if (auto made = services::makeFolderFor(path); !made) {
            std::cerr << made.error().detail << "\n";
            return 1;
        }
    }
    services::SystemClock clock;
    services::SystemRandomness randomness;
    storage::Journal::WriteOptions options;
    options.program = "discal";
    options.newSeed = [&] { return randomness.bytes<32>(); };
    auto journal = storage::Journal::openForWriting(storage::Place(path), options);
    if (!journal) {
        std::cerr << viewmodels::FieldPhone::sentenceFor(journal.error()).toStdString() << "\n";
        return 1;
    }
    std::unique_ptr<QGeoPositionInfoSource> source(QGeoPositionInfoSource::createDefaultSource(nullptr));
    devices::Receiver receiver(std::move(source), clock);
    viewmodels::FieldPhone phone(**journal, clock, randomness, receiver);
    if (auto started = phone.writer.ensureStarted({"phone", "discal " DISCAL_VERSION, std::nullopt}); !started)
        return 1;
    if (auto resumed = phone.resume(); !resumed)
        return 1;
    const auto places = placeNames();
    nameAndCheckLater(places, phone);
    devices::Camera camera;
    app::App app(phone, std::make_unique<QSettings>(), std::move(pages));
    app.camera.setEyes(camera, [] { return reading::makeReader(); });
    devices::Feedback feedback;
    listen(app, feedback);
    QObject::connect(&app.tag, &viewmodels::TagPageModel::recordBegan, &receiver, &devices::Receiver::wake);
    QObject::connect(&app.tag, &viewmodels::TagPageModel::recordEnded, &receiver, &devices::Receiver::rest);
    if (!app.load())
        return 1;
    QObject::connect(&receiver, &devices::Receiver::refusedChanged, &phone,
                     &viewmodels::FieldPhone::setPositionRefused);
    const devices::Battery battery;
    const auto readBattery = [&] {
        if (const auto charge = battery.charge())
            app.troubles.setBattery(charge->percent, charge->isRunningDown);
    };
    QTimer everyMinute;
    QObject::connect(&everyMinute, &QTimer::timeout, readBattery);
    everyMinute.start(std::chrono::minutes(1));
    readBattery();
    receiver.wake();
    const int code = QGuiApplication::exec();
    (void)(*journal)->idle();
    return code;
}

int runSession(const Choices& choices) {
    app::App::prepare();
    auto session = app::SessionPhone::open(choices.session.toStdString(), choices.journal.toStdString());
    if (!session) {
        std::cerr << viewmodels::FieldPhone::sentenceFor(session.error()).toStdString() << "\n";
        return 1;
    }
    const auto places = placeNames();
    nameAndCheckLater(places, (*session)->phone());
    std::cerr << "Sample journal: " << (*session)->path().string() << "\n";
    // A day that brings pictures shows them where the phone would open its camera.
    const std::filesystem::path pictures = std::filesystem::path(choices.session.toStdString()) / "frames";
    std::unique_ptr<services::FrameSource> camera;
    if (std::filesystem::is_directory(pictures))
        camera = std::make_unique<services::PictureFrames>(pictures, &devices::loadFrame);
    else
        camera = std::make_unique<devices::Camera>();
    app::App app((*session)->phone(), nullptr);
    app.camera.setEyes(*camera, [] { return reading::makeReader(); });
    devices::Feedback feedback;
    listen(app, feedback);
    return app.load() ? QGuiApplication::exec() : 1;
}

} // namespace

int main(int argc, char* argv[]) {
    Choices choices;
    for (int i = 1; i < argc; ++i) {
        const QString word = QString::fromLocal8Bit(argv[i]);
        const QString next = i + 1 < argc ? QString::fromLocal8Bit(argv[i + 1]) : QString();
        if (word == QLatin1String("--self-test")) {
            choices.isSelfTest = true;
        } else if (word == QLatin1String("--journal") && !next.isEmpty()) {
            choices.journal = next;
            ++i;
        } else if (word == QLatin1String("--session") && !next.isEmpty()) {
            choices.session = next;
            ++i;
        } else if (word == QLatin1String("--shots") && !next.isEmpty()) {
            choices.shots = next;
            ++i;
            if (i + 1 < argc && argv[i + 1][0] != '-')
                choices.shotsOf = QString::fromLocal8Bit(argv[++i]);
        } else {
            usage();
            return word == QLatin1String("--help") ? 0 : 2;
        }
    }
    if (choices.isSelfTest || !choices.shots.isEmpty()) {
        // Pictures are the same on every machine: no display, no graphics card, twice the density.
        qputenv("QT_QPA_PLATFORM", "offscreen");
        qputenv("QT_QUICK_BACKEND", "software");
        qputenv("QT_SCALE_FACTOR", "2");
        qputenv("QML_DISABLE_DISK_CACHE", "1");
    }
    QGuiApplication application(argc, argv);
    if (choices.isSelfTest || !choices.shots.isEmpty()) {
        app::App::prepare();
        return choices.isSelfTest ? app::selfTest() : app::takeShots(choices.shots, choices.shotsOf);
    }
    return choices.session.isEmpty() ? runOwn(choices) : runSession(choices);
}
