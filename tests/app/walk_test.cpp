#include "catch_compat.hpp"
#include "screen.h"

#include <QTest>
#include <random>

// Walks at random: somebody taps whatever is there, ten milliseconds apart, on whatever page that leads to. Nothing may
// crash or complain, and the journal must be whole afterwards.

using namespace discal;
using namespace discal::tests;

namespace {

void walk(unsigned seed, int taps) {
    application();
    std::mt19937 random(seed);
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    app::SamplePhone phone;
    phone.spendMorning(static_cast<int>(below(6)));
    for (int done = 0; done < taps;) {
        // The program ends and begins again now and then, wherever it is.
        app::App app(phone.phone(), nullptr);
        app.settings.setProperty("reducedMotion", true);
        REQUIRE(app.load());
        QQuickWindow* window = app.window();
        const auto& look = app::looks()[below(app::looks().size())];
        app::put(look, window, app);
        for (std::size_t leg = 20 + below(60); leg > 0 && done < taps; --leg, ++done) {
            const auto targets = targetsIn(window);
            INFO("seed " << seed << ", tap " << done);
            REQUIRE_FALSE(targets.empty());
            const Target& target = targets[below(targets.size())];
            INFO("\"" << target.name.toStdString() << "\"");
            phone.wait(below(4) == 0 ? std::chrono::milliseconds(500 + below(5000)) : std::chrono::milliseconds(10));
            tap(window, target);
            if (target.isText)
                for (const char key : below(2) == 0 ? std::string("RKD 007") : std::string("12,5"))
                    QTest::keyClick(window, key);
            const QStringList warnings = app.warnings();
            if (!warnings.isEmpty())
                FAIL(warnings.join(QLatin1Char('\n')).toStdString());
        }
    }
    auto& journal = phone.phone().journal();
    const auto report = journal.file().verify();
    REQUIRE(report);
    INFO("seed " << seed);
    CHECK(report->isSound());
    const auto before = journal.projections().dump();
    REQUIRE(before);
    REQUIRE(journal.projections().rebuild());
    const auto after = journal.projections().dump();
    REQUIRE(after);
    CHECK(*before == *after);
}

} // namespace

TEST_CASE("Twenty random walks of 500 taps leave a whole journal and no complaint", "[app][played]") {
    for (unsigned seed = 1; seed <= 20; ++seed)
        walk(seed, 500);
}

TEST_CASE("Two hundred random walks of 500 taps leave a whole journal and no complaint", "[.long][app][played]") {
    for (unsigned seed = 1; seed <= 200; ++seed)
        walk(seed + 1000, 500);
}
