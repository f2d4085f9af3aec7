#include "catch_compat.hpp"
#include "reference.h"
#include "screen.h"

#include <QJSValue>
#include <QProcess>
#include <QTest>
#include <iostream>
#include <random>

// The system kills the app whenever it likes. Begun again, it shows the same page, and the butterfly that was in the
// hand is in the hand.

using namespace discal;
using namespace discal::tests;

namespace {

constexpr const char* kWalker = "DISCAL_TEST_WALKER";

/// What is half typed on the page that is open.
QString typedIn(app::App& app) {
    const QString page = app.window()->property("opened").toString();
    auto* const opened = app.window()->property("openedPage").value<QObject*>();
    const std::map<QString, std::pair<QObject*, const char*>> fields{
        {"newsheet", {&app.sheets, "first"}},   {"people", {&app.people, "initials"}},
        {"newsite", {&app.sites, "name"}},      {"station", {&app.setup, "name"}},
        {"digits", {&app.sheet, "lastDigits"}}, {"already", {&app.already, "digits"}},
        {"session", {&app.session, "note"}},    {"weather", {&app.weather, "air"}},
        {"phone", {&app.setup, "newDeviceName"}}, {"correct", {&app.correct, "note"}},
        {"cage", {opened, "name"}},             {"measure", {opened, "note"}}};
    const auto field = fields.find(page);
    return field == fields.end() ? QString() : field->second.first->property(field->second.second).toString();
}

/// Where somebody is: page, what is opened above it and with what, what is half typed, who is in the hand, and how many
/// lines there are.
QString placeOf(app::SamplePhone& phone, app::App& app) {
    const QQuickWindow* window = app.window();
    const auto noted = phone.phone().projections().butterfliesWithFate(butterfly::Fate::Noted);
    QStringList hand;
    for (const auto& b : noted ? *noted : std::vector<butterfly::Butterfly>{})
        hand << QString::fromStdString(b.id.text());
    QVariant trail = window->property("trail");
    if (trail.metaType() == QMetaType::fromType<QJSValue>())
        trail = trail.value<QJSValue>().toVariant();
    return QStringList{window->property("page").toString(), QString::number(trail.toList().size()), window->property("opened").toString(),
                       window->property("openedWith").toString(), typedIn(app), hand.join(QLatin1Char(' ')),
                       QString::number(phone.phone().journal().head().seq)}
        .join(QLatin1Char('|'));
}

std::unique_ptr<app::App> beginIn(app::SamplePhone& phone) {
    auto app = std::make_unique<app::App>(phone.phone(), nullptr);
    app->settings.setProperty("reducedMotion", true);
    if (!app->load())
        throw std::runtime_error("the window can't be loaded");
    app::settle(app->window());
    return app;
}

/// Walks until somebody kills it; what it has come to is said after each tap.
void walkOn(const QString& folder, unsigned seed, std::chrono::milliseconds waited) {
    std::mt19937 random(seed);
    app::SamplePhone phone(folder, seed, waited);
    if (phone.phone().journal().head().seq < 3)
        phone.spendMorning(3);
    const auto app = beginIn(phone);
    for (;;) {
        const auto targets = targetsIn(app->window());
        const Target& target = targets.at(random() % targets.size());
        phone.wait(std::chrono::milliseconds(random() % 2 == 0 ? 10 : 2000));
        std::cout << "TAP" << std::endl;
        tap(app->window(), target);
        if (target.isText)
            for (const char key : std::string("7K"))
                QTest::keyClick(app->window(), key);
        app::settle(app->window());
        std::cout << "AT " << phone.waited().count() << " " << placeOf(phone, *app).toStdString()
                  << std::endl;
        // Now and then she looks up
        QTest::qWait(static_cast<int>(random() % 30));
    }
}

/// One life of the app: killed after some taps. Returns the last line that it said, and where its clock was.
struct Life {
    QString last;
    std::chrono::milliseconds waited{0};
};
Life live(const QString& folder, unsigned seed, std::chrono::milliseconds waited, int taps, unsigned long delayUs) {
    QProcess child;
    auto environment = QProcessEnvironment::systemEnvironment();
    environment.insert(QLatin1String(kWalker), QStringLiteral("%1 %2 %3").arg(seed).arg(waited.count()).arg(folder));
    child.setProcessEnvironment(environment);
    child.setProcessChannelMode(QProcess::ForwardedErrorChannel);
    child.start(QStringLiteral("/proc/self/exe"), {QStringLiteral("A walk for somebody who kills it")});
    Life life{{}, waited};
    const auto take = [&] {
        while (child.canReadLine()) {
            const QString line = QString::fromUtf8(child.readLine()).trimmed();
            if (line.startsWith(QLatin1String("AT ")) || line == QLatin1String("TAP"))
                life.last = line;
            if (line.startsWith(QLatin1String("AT "))) {
                life.waited = std::chrono::milliseconds(line.section(QLatin1Char(' '), 1, 1).toLongLong());
                --taps;
            }
        }
    };
    while (taps > 0 && child.waitForReadyRead(60'000))
        take();
    QTest::qSleep(static_cast<int>(delayUs / 1000));
    child.kill();
    child.waitForFinished();
    take();
    return life;
}

void kill(int rounds) {
    application();
    const TemporaryFolder folder;
    const QString place = QString::fromStdString(folder.path().string());
    std::mt19937 random(2026);
    std::chrono::milliseconds waited{0};
    int between = 0;
    for (unsigned round = 1; round <= static_cast<unsigned>(rounds); ++round) {
        INFO("round " << round);
        const Life life =
            live(place, round, waited, 1 + static_cast<int>(random() % 40), random() % 20'000);
        REQUIRE_FALSE(life.last.isEmpty());
        waited = life.waited + std::chrono::seconds(3);
        app::SamplePhone phone(place, 10'000 + round, waited);
        const auto report = phone.phone().journal().file().verify();
        REQUIRE(report);
        CHECK(report->isSound());
        const auto app = beginIn(phone);
        // In the middle of a tap it may stand before or after it; between two there is one answer.
        if (life.last.startsWith(QLatin1String("AT "))) {
            ++between;
            CHECK(placeOf(phone, *app).toStdString() ==
                  life.last.section(QLatin1Char(' '), 2).toStdString());
        }
        CHECK(app->warnings().join(QLatin1Char('\n')).toStdString().empty());
    }
    CHECK(between > 0);
}

} // namespace

TEST_CASE("A walk for somebody who kills it", "[.walker]") {
    const QStringList how = qEnvironmentVariable(kWalker).split(QLatin1Char(' '));
    REQUIRE(how.size() == 3);
    application();
    walkOn(how[2], how[0].toUInt(), std::chrono::milliseconds(how[1].toLongLong()));
}

TEST_CASE("Killed at random moments of a walk, the app begins where it stood", "[app][played]") { kill(8); }

TEST_CASE("Killed a hundred times in a walk, the app begins where it stood", "[.long][app]") { kill(100); }
