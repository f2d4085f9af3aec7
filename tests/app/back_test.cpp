#include "catch_compat.hpp"
#include "screen.h"

#include <QTest>

// Each page leads back to the one that it was opened from; what is decided on it ends the whole errand.

using namespace discal;
using namespace discal::tests;

namespace {

struct Errand {
    app::SamplePhone phone;
    std::unique_ptr<app::App> app;
    QQuickWindow* window{nullptr};

    explicit Errand(int page) {
        application();
        phone.spendMorning(3);
        app = std::make_unique<app::App>(phone.phone(), nullptr);
        REQUIRE(app->load());
        window = app->window();
        window->setProperty("page", page);
        app::settle(window);
    }
    void tapOn(const QString& name) {
        phone.wait(std::chrono::milliseconds(500));
        tap(window, targetNamed(window, name));
    }
    [[nodiscard]] QString opened() const { return window->property("opened").toString(); }
};

} // namespace

TEST_CASE("Back leads to the page one came from", "[app]") {
    SECTION("from a new sheet to the sheets, and on to Set up") {
        Errand errand(3);
        errand.tapOn("Sheets of tags: RKD 001-025");
        errand.tapOn("Take in a sheet");
        CHECK(errand.opened() == "newsheet");
        errand.tapOn("back");
        CHECK(errand.opened() == "sheets");
        errand.tapOn("back");
        CHECK(errand.opened().isEmpty());
    }
    SECTION("from who writes to whose hand tags") {
        Errand errand(0);
        errand.tapOn("tagger: MH");
        errand.tapOn("Who writes: MH");
        errand.tapOn("back");
        CHECK(errand.opened() == "people");
        CHECK_NOTHROW(targetNamed(errand.window, "Who writes: MH"));
        errand.tapOn("back");
        CHECK(errand.opened().isEmpty());
    }
    SECTION("from a new site to the sites") {
        Errand errand(3);
        errand.tapOn("Site: Ridge meadow");
        errand.tapOn("Add a site");
        errand.tapOn("back");
        CHECK(errand.opened() == "sites");
    }
    SECTION("from the last digits to the sheet") {
        Errand errand(0);
        errand.tapOn("another");
        errand.tapOn("type the last digits");
        CHECK(errand.opened() == "digits");
        errand.tapOn("back");
        CHECK(errand.opened() == "sheet");
        CHECK(errand.window->property("openedWith") == "check");
    }
}

TEST_CASE("A tag found by its digits leads straight to tagging with it", "[app]") {
    Errand errand(0);
    errand.tapOn("another");
    errand.tapOn("type the last digits");
    for (const char* digit : {"0", "0", "9"})
        errand.tapOn(digit);
    errand.tapOn("RKD 009");
    CHECK(errand.opened().isEmpty());
}

TEST_CASE("The bar leaves everything that was opened", "[app]") {
    Errand errand(3);
    errand.window->resize(1100, 760);
    errand.tapOn("Site: Ridge meadow");
    errand.tapOn("Add a site");
    errand.tapOn("Tag");
    CHECK(errand.opened().isEmpty());
    errand.tapOn("site: Ridge meadow");
    errand.tapOn("back");
    CHECK(errand.opened().isEmpty());
}

TEST_CASE("The system's back key leads back too, also while somebody types", "[app]") {
    Errand errand(3);
    errand.tapOn("Sheets of tags: RKD 001-025");
    errand.tapOn("Take in a sheet");
    errand.window->requestActivate();
    REQUIRE(QTest::qWaitForWindowActive(errand.window));
    errand.tapOn("First code on the sheet");
    QTest::keyClick(errand.window, Qt::Key_Back);
    CHECK(errand.opened() == "sheets");
    QTest::keyClick(errand.window, Qt::Key_Escape);
    CHECK(errand.opened().isEmpty());
    QTest::keyClick(errand.window, Qt::Key_Escape);
    CHECK(errand.opened().isEmpty());
}
