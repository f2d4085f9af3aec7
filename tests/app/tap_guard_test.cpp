#include "catch_compat.hpp"
#include "screen.h"

#include <QPointingDevice>
#include <QTest>

// A control that has just appeared or changed its meaning takes no tap for 400 ms (ux.md, section 8).

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;

namespace {

struct Hand {
    app::SamplePhone phone;
    std::unique_ptr<app::App> app;
    QQuickWindow* window{nullptr};

    Hand() {
        application();
        phone.spendMorning(3);
        app = std::make_unique<app::App>(phone.phone(), nullptr);
        REQUIRE(app->load());
        window = app->window();
        app::settle(window);
    }
    void tapAfter(std::chrono::milliseconds pause, const QString& name) {
        phone.wait(pause);
        tap(window, targetNamed(window, name));
    }
    [[nodiscard]] QString opened() const { return window->property("opened").toString(); }
    [[nodiscard]] std::uint64_t lines() { return phone.phone().journal().head().seq; }
};

} // namespace

TEST_CASE("A control that has just changed its meaning takes no tap for 400 ms", "[app]") {
    Hand hand;
    hand.tapAfter(1s, hand.app->tag.letters() + QLatin1Char(' ') + hand.app->tag.digits());
    REQUIRE(hand.app->tag.stage() == viewmodels::TagPageModel::Ready);
    hand.tapAfter(399ms, "female");
    CHECK(hand.app->tag.stage() == viewmodels::TagPageModel::Ready);
    hand.tapAfter(1ms, "female");
    REQUIRE(hand.app->tag.stage() == viewmodels::TagPageModel::InHand);
    const auto noted = hand.lines();
    hand.tapAfter(10ms, "Let go");
    CHECK(hand.lines() == noted);
    hand.tapAfter(390ms, "Let go");
    CHECK(hand.lines() == noted + 1);
}

TEST_CASE("A page that has just opened takes no tap for 400 ms, by finger as by mouse", "[app]") {
    Hand hand;
    hand.tapAfter(1s, "Set up");
    REQUIRE(hand.window->property("page").toInt() == 3);
    const auto touchAfter = [&](std::chrono::milliseconds pause, const QString& name) {
        static QPointingDevice* finger = QTest::createTouchDevice();
        const QPoint at = targetNamed(hand.window, name).area.center().toPoint();
        hand.phone.wait(pause);
        QTest::touchEvent(hand.window, finger).press(0, at, hand.window);
        QTest::touchEvent(hand.window, finger).move(0, at + QPoint(1, 0), hand.window);
        QTest::touchEvent(hand.window, finger).release(0, at + QPoint(1, 0), hand.window);
        app::settle(hand.window);
    };
    touchAfter(100ms, "Site: Ridge meadow");
    CHECK(hand.opened().isEmpty());
    touchAfter(300ms, "Site: Ridge meadow");
    CHECK(hand.opened() == "sites");
    touchAfter(10ms, "Add a site");
    CHECK(hand.opened() == "sites");
    touchAfter(1s, "Add a site");
    CHECK(hand.opened() == "newsite");
}

TEST_CASE("The keys of a pad take taps as fast as they come", "[app]") {
    Hand hand;
    hand.tapAfter(1s, "another");
    hand.tapAfter(1s, "type the last digits");
    REQUIRE(hand.opened() == "digits");
    for (const char* digit : {"0", "0", "9"})
        hand.tapAfter(10ms, digit);
    CHECK(hand.app->sheet.lastDigits() == "009");
}
