#include "catch_compat.hpp"
#include "screen.h"

using namespace discal;
using namespace discal::tests;

TEST_CASE("Today can be scrolled to the first butterfly of a long day", "[app]") {
    application();
    app::SamplePhone phone;
    phone.spendMorning(0);
    REQUIRE(phone.phone().stock.receive({"RKE 001", 200, std::nullopt, 5}));
    constexpr int kMany = 190;
    for (int i = 0; i < kMany; ++i) {
        phone.wait(std::chrono::seconds(5));
        services::Tagging::Note note;
        note.sex = "male";
        REQUIRE(phone.phone().tagging.note(note));
    }
    app::App app(phone.phone(), nullptr);
    REQUIRE(app.load());
    app.window()->setProperty("page", 2);
    app::settle(app.window());
    QQuickItem* list = listIn(app.window()->contentItem());
    REQUIRE(list != nullptr);
    for (int i = 0; i < 100; ++i) {
        list->setProperty("contentY", list->property("originY").toDouble() +
                                          list->property("contentHeight").toDouble() - list->height());
        app::settle(app.window());
    }
    CHECK(list->property("count").toInt() == kMany);
}
