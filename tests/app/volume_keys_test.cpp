#include "catch_compat.hpp"
#include "screen.h"

#include <QTest>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using viewmodels::TagPageModel;

TEST_CASE("The volume keys note the sexes where she has set it so, and only while they are shown", "[app]") {
    application();
    app::SamplePhone phone;
    phone.spendMorning(3);
    app::App app(phone.phone(), nullptr);
    REQUIRE(app.load());
    QQuickWindow* window = app.window();
    app::settle(window);
    tap(window, targetNamed(window, app.tag.letters() + QLatin1Char(' ') + app.tag.digits()));
    REQUIRE(app.tag.stage() == TagPageModel::Ready);
    const auto press = [&](Qt::Key key) {
        phone.wait(1s);
        QTest::keyClick(window, key);
    };
    const auto sex = [&] { return app.tag.property("handSex").toString(); };
    press(Qt::Key_VolumeUp);
    CHECK(app.tag.stage() == TagPageModel::Ready);

    app.settings.setProperty("volumeKeys", true);
    window->setProperty("page", 1);
    press(Qt::Key_VolumeUp);
    CHECK(app.tag.stage() == TagPageModel::Ready);
    window->setProperty("page", 0);
    app::settle(window);
    // What has just come takes none.
    QTest::keyClick(window, Qt::Key_VolumeUp);
    CHECK(app.tag.stage() == TagPageModel::Ready);

    // The sex that is drawn on the left
    const bool isMaleLeft = targetNamed(window, "male").area.x() < targetNamed(window, "female").area.x();
    press(Qt::Key_VolumeUp);
    REQUIRE(app.tag.stage() == TagPageModel::InHand);
    CHECK(sex() == (isMaleLeft ? "male" : "female"));
    press(Qt::Key_VolumeDown);
    CHECK(sex() == (isMaleLeft ? "female" : "male"));
    CHECK(app.tag.stage() == TagPageModel::InHand);
}
