#include "catch_compat.hpp"
#include "screen.h"

#include <QEventLoop>
#include <QTimer>
#include <set>

using namespace discal;
using namespace discal::tests;

namespace {

/// A day with this many, let go at intervals that are short of any question.
void spendDay(app::SamplePhone& phone, int butterflies) {
    phone.spendMorning(0);
    REQUIRE(phone.phone().stock.receive({"RKE 001", 200, std::nullopt, 5}));
    for (int i = 0; i < butterflies; ++i) {
        phone.wait(std::chrono::seconds(5));
        services::Tagging::Note note;
        note.sex = "male";
        REQUIRE(phone.phone().tagging.note(note));
    }
}

constexpr int kMany = 190;

} // namespace

TEST_CASE("Today can be scrolled to the first butterfly of a long day", "[app]") {
    application();
    app::SamplePhone phone;
    spendDay(phone, kMany);
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

// A bench that let no row be deleted had frames of 160 ms, all spent on collecting garbage (25 November 2026).
TEST_CASE("Rows of Today that were scrolled past are deleted", "[app]") {
    application();
    app::SamplePhone phone;
    spendDay(phone, kMany);
    std::set<QObject*> alive;  // outlives the app, which deletes the last of them
    app::App app(phone.phone(), nullptr);
    REQUIRE(app.load());
    app.window()->setProperty("page", 2);
    app::settle(app.window());
    QQuickItem* list = listIn(app.window()->contentItem());
    REQUIRE(list != nullptr);
    auto* rows = list->property("contentItem").value<QQuickItem*>();
    REQUIRE(rows != nullptr);
    int seen = 0;
    while (!list->property("atYEnd").toBool()) {
        for (QQuickItem* row : rows->childItems())
            if (row->property("isRow").toBool() && alive.insert(row).second) {
                ++seen;
                QObject::connect(row, &QObject::destroyed, app.window(), [&alive](QObject* gone) { alive.erase(gone); });
            }
        list->setProperty("contentY", list->property("contentY").toDouble() + 250);
        // What is deleted later is deleted by a loop.
        QEventLoop loop;
        QTimer::singleShot(0, &loop, &QEventLoop::quit);
        loop.exec();
    }
    CHECK(seen > 100);
    CHECK(alive.size() < 60);
}
