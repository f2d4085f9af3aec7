#include "viewmodels/camera_page_model.h"

#include "catch_compat.hpp"
#include "event_loop.h"
#include "fake_camera.h"
#include "phone.h"

#include <QBuffer>
#include <QImageReader>
#include <QSignalSpy>
#include <algorithm>

using namespace discal;
using namespace discal::tests;
using services::Refusal;
using services::Verdict;
using viewmodels::CameraPageModel;
using viewmodels::TagReading;

namespace {

struct Heard {
    explicit Heard(CameraPageModel& model) {
        QObject::connect(&model, &CameraPageModel::finished, &model, [this] { order += "finished "; });
        QObject::connect(&model, &CameraPageModel::tagRead, &model,
                         [this](const TagReading& reading, CameraPageModel::Purpose) {
                             order += "tag ";
                             tag = reading;
                         });
        QObject::connect(&model, &CameraPageModel::labelRead, &model, [this](const tag::SheetLabel& said) {
            order += "label ";
            label = said;
        });
        QObject::connect(&model, &CameraPageModel::runRead, &model, [this](const QString& text) {
            order += "run ";
            run = text;
        });
    }
    std::string order;
    std::optional<TagReading> tag;
    std::optional<tag::SheetLabel> label;
    QString run;
};

struct View {
    TestPhone phone;
    CameraPageModel model{phone.phone()};
    Eyes eyes{model};
    Heard heard{model};
    View() { application(); }
};

} // namespace

TEST_CASE("Each hindrance is told as what to do about it, once it has come twice", "[viewmodels][camera]") {
    View view;
    view.eyes.sayRefused(Refusal::NoTag);
    view.model.open("next");
    CHECK(view.model.state() == CameraPageModel::Opening);
    CHECK(view.model.advice() == "Fill the ring with the tag.");
    const std::vector<std::pair<Refusal, QString>> all{{Refusal::NoTag, "No tag seen yet: fill the ring."},
                                                       {Refusal::TooFar, "Come closer."},
                                                       {Refusal::Blurred, "Hold still."},
                                                       {Refusal::Glare, "Turn away from the sun."},
                                                       {Refusal::Covered, "Lift your finger off the print."},
                                                       {Refusal::Unsure, "Not sure yet. Hold it straight before the camera."}};
    for (const auto& [why, advice] : all) {
        view.eyes.sayRefused(why);
        INFO(advice.toStdString());
        CHECK(view.eyes.untilAdvice(advice));
        CHECK(view.model.state() == CameraPageModel::Aiming);
    }
    CHECK_FALSE(view.model.picture().isNull());
    CHECK(view.heard.order.empty());
}

TEST_CASE("A reading closes the view, and only then is told, with its picture", "[viewmodels][camera]") {
    View view;
    view.eyes.sayRead("RKD 003");
    view.model.open("next");
    REQUIRE(view.eyes.until([&] { return view.heard.tag.has_value(); }));
    CHECK(view.heard.order == "finished tag ");
    CHECK(view.heard.tag->text == "RKD 003");
    CHECK(view.heard.tag->isListed);
    CHECK(view.heard.tag->perMille == 987);
    CHECK(view.heard.tag->picture.size() == QSize(8, 8));
    CHECK(view.heard.tag->kept.empty());
    CHECK(view.model.state() == CameraPageModel::Closed);
    CHECK(view.model.picture().isNull());
    CHECK_FALSE(view.eyes.camera.isRunning);

    // Where that is wished, the picture is ready to be kept.
    view.model.setKeepsPictures(true);
    view.eyes.sayRead("ZQM 417", Verdict::Unlisted);
    view.heard.tag.reset();
    view.model.open("already");
    REQUIRE(view.eyes.until([&] { return view.heard.tag.has_value(); }));
    CHECK_FALSE(view.heard.tag->isListed);
    QByteArray bytes = QByteArray::fromStdString(view.heard.tag->kept);
    QBuffer buffer(&bytes);
    CHECK(QImageReader(&buffer).format() == "jpeg");
}

TEST_CASE("A tag is compared with all codes of our sheets, used ones too", "[viewmodels][camera]") {
    View view;
    view.phone.note();
    view.eyes.sayRefused(Refusal::NoTag);
    view.model.open("next");
    REQUIRE(view.eyes.untilAdvice("No tag seen yet: fill the ring."));
    const auto wanted = view.eyes.wanted();
    CHECK(wanted.codes.size() == 25);
    CHECK(wanted.codes.front().text() == "RKD 001");
    CHECK(wanted.hasTags);
    CHECK_FALSE(wanted.hasBarcodes);
    view.model.close();
    view.model.open("run");
    REQUIRE(view.eyes.until([&] { return view.eyes.wanted().hasBarcodes; }));
    CHECK_FALSE(view.eyes.wanted().hasTags);
}

TEST_CASE("A long roll leaves room for no more codes than a reader can take", "[viewmodels][camera]") {
    View view;
    view.phone.receiveSheet("ABC 0000", 9000);
    view.eyes.sayRefused(Refusal::NoTag);
    view.model.open("next");
    REQUIRE(view.eyes.untilAdvice("No tag seen yet: fill the ring."));
    const auto wanted = view.eyes.wanted();
    CHECK(wanted.codes.size() == 5000);
    // The sheet of the next one comes first.
    CHECK(wanted.codes.front().text() == "RKD 001");
}

TEST_CASE("A label is read, whatever else is in sight is told", "[viewmodels][camera]") {
    View view;
    view.eyes.sayBarcode("https://example.org/");
    view.model.open("label");
    CHECK(view.eyes.untilAdvice("That is no label of a sheet."));
    view.eyes.sayBarcode("DISCAL:%69 VD92EX0.");
    CHECK(view.eyes.untilAdvice("That is handed over by another phone. Take it under Take tags."));
    view.eyes.sayBarcode("DISCAL SHEET 2 AAA000 RKD001 25");
    CHECK(view.eyes.untilAdvice("That label is for a newer Discal."));
    view.eyes.sayBarcode("DISCAL SHEET 1 AAA000-IO RKD101 25 5");
    REQUIRE(view.eyes.until([&] { return view.heard.label.has_value(); }));
    CHECK(view.heard.order == "finished label ");
    CHECK(view.heard.label->first.text() == "RKD 101");
    CHECK(view.heard.label->count == 25);
    CHECK(view.heard.label->scheme.excludedLetters() == "IO");

    // Without one, a tag says where the sheet begins.
    view.heard.label.reset();
    view.eyes.sayRead("RKD 101", Verdict::Unlisted);
    view.model.open("label");
    REQUIRE(view.eyes.until([&] { return view.heard.label.has_value(); }));
    CHECK(view.heard.label->count == 0);
}

TEST_CASE("What another phone shows is read off its screen", "[viewmodels][camera]") {
    View view;
    view.eyes.sayBarcode("DISCAL SHEET 1 AAA000 RKD101 25");
    view.model.open("run");
    CHECK(view.eyes.untilAdvice("That is the label of a sheet. The other phone shows its code under Hand tags."));
    view.eyes.sayBarcode("RKD 001");
    view.eyes.sayBarcode("DISCAL:%69 VD92EX0.");
    REQUIRE(view.eyes.until([&] { return !view.heard.run.isEmpty(); }));
    CHECK(view.heard.order == "finished run ");
    CHECK(view.heard.run == "DISCAL:%69 VD92EX0.");
}

TEST_CASE("Without camera, permission or reader the view says so, and why", "[viewmodels][camera]") {
    application();
    TestPhone phone;
    CameraPageModel blind(phone.phone());
    blind.open("next");
    CHECK(blind.state() == CameraPageModel::NoCamera);

    View view;
    const std::vector<std::pair<Code, CameraPageModel::State>> all{{Code::NotFound, CameraPageModel::NoCamera},
                                                                   {Code::NotAllowed, CameraPageModel::NotAllowed},
                                                                   {Code::Io, CameraPageModel::Broken}};
    for (const auto& [why, state] : all) {
        // At once, or later on
        view.eyes.camera.refuses = why;
        view.model.open("next");
        CHECK(view.model.state() == state);
        CHECK_FALSE(view.model.advice().isEmpty());
        view.eyes.camera.refuses.reset();
        view.model.open("next");
        CHECK(view.model.state() == CameraPageModel::Opening);
        view.eyes.camera.end(why);
        CHECK(view.eyes.until([&] { return view.model.state() == state; }));
        CHECK_FALSE(view.eyes.camera.isRunning);
    }
    // A camera that fails in the middle of it
    view.eyes.sayRefused(Refusal::NoTag);
    view.model.open("next");
    REQUIRE(view.eyes.untilAdvice("No tag seen yet: fill the ring."));
    view.eyes.camera.end(Code::Io);
    CHECK(view.eyes.until([&] { return view.model.state() == CameraPageModel::Broken; }));

    View deaf;
    deaf.eyes.noReader = Code::NotFound;
    deaf.model.open("next");
    CHECK(deaf.eyes.until([&] { return deaf.model.state() == CameraPageModel::NoReader; }));
}

TEST_CASE("While the app is not in front the camera rests, and goes on afterwards", "[viewmodels][camera]") {
    View view;
    view.eyes.sayRefused(Refusal::NoTag);
    view.model.open("next");
    REQUIRE(view.eyes.untilAdvice("No tag seen yet: fill the ring."));
    view.model.setAwake(false);
    CHECK(view.model.state() == CameraPageModel::Asleep);
    CHECK_FALSE(view.eyes.camera.isRunning);
    CHECK(view.model.picture().isNull());
    view.model.setAwake(false);
    view.model.setAwake(true);
    CHECK(view.eyes.camera.starts == 2);
    CHECK(view.eyes.untilAdvice("No tag seen yet: fill the ring."));
    // Closed, nothing begins again.
    view.model.close();
    view.model.setAwake(false);
    view.model.setAwake(true);
    CHECK(view.model.state() == CameraPageModel::Closed);
    CHECK_FALSE(view.eyes.camera.isRunning);
    // Opened behind another app, it waits.
    view.model.setAwake(false);
    view.model.open("next");
    CHECK(view.model.state() == CameraPageModel::Asleep);
    view.model.setAwake(true);
    CHECK(view.eyes.camera.isRunning);
}

TEST_CASE("The light is off until asked for, and off again with the next view", "[viewmodels][camera]") {
    View view;
    view.eyes.camera.hasLight = true;
    view.eyes.sayRefused(Refusal::NoTag);
    view.model.turnTorch();
    CHECK(view.eyes.camera.light == services::FrameSource::Torch::Off);
    view.model.open("next");
    REQUIRE(view.eyes.until([&] { return view.model.hasTorch(); }));
    CHECK_FALSE(view.model.isTorchOn());
    view.model.turnTorch();
    CHECK(view.eyes.camera.light == services::FrameSource::Torch::On);
    CHECK(view.model.isTorchOn());
    view.model.focusOn(0.25, 0.75);
    CHECK(view.eyes.camera.focus == std::pair(0.25, 0.75));
    view.model.close();
    CHECK_FALSE(view.model.isTorchOn());
    CHECK_FALSE(view.model.hasTorch());
}

TEST_CASE("A picture that is kept stays below 64 KiB, whatever it shows", "[viewmodels][camera]") {
    CHECK(viewmodels::keptPicture({}).empty());
    // Noise is what a JPEG can do least with.
    QImage noise(1500, 1500, QImage::Format_RGB32);
    std::uint32_t state = 1;
    for (int y = 0; y < noise.height(); ++y)
        for (int x = 0; x < noise.width(); ++x) {
            state = state * 1'664'525 + 1'013'904'223;
            noise.setPixel(x, y, state | 0xFF000000U);
        }
    const std::string kept = viewmodels::keptPicture(noise);
    CHECK(kept.size() <= services::CodeRead::kMostPictureBytes);
    CHECK(kept.size() > 1000);
}

TEST_CASE("A frame whose pixels don't make up its size shows nothing", "[viewmodels][camera]") {
    CHECK(viewmodels::imageOf({4, 4, std::vector<std::uint8_t>(47)}).isNull());
    CHECK(viewmodels::imageOf({}).isNull());
    CHECK(viewmodels::shownOf({4000, 4000, std::vector<std::uint8_t>(47)}, 720).isNull());
    const services::Frame large{1441, 1440, std::vector<std::uint8_t>(1441 * 1440 * 3, 77)};
    const QImage shown = viewmodels::shownOf(large, 720);
    CHECK(std::max(shown.width(), shown.height()) <= 720);
    CHECK(shown.width() >= 480);
    CHECK(shown.pixelColor(10, 10) == QColor(77, 77, 77));
}
