#include "phone.h"
#include "viewmodels/troubles_model.h"

#include "catch_compat.hpp"

#include <QAbstractItemModelTester>

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using storage::Warning;
using viewmodels::TroublesModel;

namespace {

constexpr auto kFatal = QAbstractItemModelTester::FailureReportingMode::Fatal;

QStringList troublesOf(const TroublesModel& troubles) {
    QStringList out;
    for (int row = 0; row < troubles.rowCount(); ++row)
        out << cell(troubles, row, "trouble");
    return out;
}

/// The words of one that is there.
QString wordsOf(const TroublesModel& troubles, const QString& trouble) {
    return cell(troubles, static_cast<int>(troublesOf(troubles).indexOf(trouble)), "words");
}

} // namespace

TEST_CASE("Troubles stand gravest first, in whatever order they come and go", "[troubles]") {
    TestPhone phone;
    TroublesModel troubles(phone.phone());
    QAbstractItemModelTester tester(&troubles, kFatal);
    CHECK(troubles.count() == 0);
    CHECK(troubles.gravest().isEmpty());
    phone.phone().setPositionRefused(true);
    troubles.setBattery(12, true);
    troubles.setPermitPast("The permit ended on 31 August 2026.");
    troubles.setCopyTrouble("No safe copy yet.", "All butterflies are saved.");
    phone.hearFix(3000);
    phone.clock.setSkew(-1h);
    troubles.look();
    troubles.setWarnings({Warning::DiskNearlyFull});
    CHECK(troublesOf(troubles) == QStringList{"storage", "clock", "copy", "permit", "battery", "position"});
    CHECK(troubles.gravest() == "Storage is nearly full.");
    troubles.setWarnings({});
    CHECK(troubles.gravest() == "The phone’s clock is 60 min behind.");
    troubles.setCopyTrouble({}, {});
    troubles.setBattery(80, true);
    phone.clock.setSkew(0ms);
    troubles.look();
    CHECK(troublesOf(troubles) == QStringList{"permit", "position"});
    CHECK(troubles.gravest() == "The permit ended on 31 August 2026.");
    troubles.setPermitPast({});
    // The Tag page's status says it already.
    CHECK(troublesOf(troubles) == QStringList{"position"});
    CHECK(troubles.gravest().isEmpty());
}

TEST_CASE("Each trouble says what is safe and what to do, and leads to where it can be done", "[troubles]") {
    TestPhone phone;
    TroublesModel troubles(phone.phone());
    phone.phone().setPositionRefused(true);
    troubles.setBattery(12, true);
    troubles.setPermitPast("The permit ended on 31 August 2026.");
    troubles.setCopyTrouble("No safe copy yet.", "All butterflies are saved.");
    troubles.setWarnings({Warning::ReserveUsed});
    const QStringList all = troublesOf(troubles);
    const auto pageOf = [&](const QString& trouble) {
        return cell(troubles, static_cast<int>(all.indexOf(trouble)), "page");
    };
    CHECK(pageOf("copy") == "copy");
    CHECK(pageOf("battery") == "copy");
    CHECK(pageOf("permit") == "station");
    CHECK(pageOf("position") == "sites");
    // Room is made in the phone, not in Discal.
    CHECK(pageOf("storage").isEmpty());
    CHECK(wordsOf(troubles, "storage").endsWith("make room now, the next may not be."));
    CHECK(wordsOf(troubles, "battery").startsWith("Every butterfly is saved as you tap"));
    for (int row = 0; row < troubles.rowCount(); ++row) {
        INFO(cell(troubles, row, "trouble").toStdString());
        CHECK_FALSE(cell(troubles, row, "line").isEmpty());
        CHECK_FALSE(cell(troubles, row, "words").isEmpty());
        CHECK(cell(troubles, row, "action").isEmpty() == cell(troubles, row, "page").isEmpty());
        // One line at 100 % on a small phone
        CHECK(cell(troubles, row, "line").size() <= 40);
    }
}

TEST_CASE("Of several warnings of storage the gravest is said, and each change is told once", "[troubles]") {
    TestPhone phone;
    TroublesModel troubles(phone.phone());
    int changes = 0;
    QObject::connect(&troubles, &TroublesModel::refreshed, [&] { ++changes; });
    troubles.setWarnings({Warning::ProjectionsAside, Warning::DiskNearlyFull});
    CHECK(wordsOf(troubles, "storage").startsWith("This phone’s storage is nearly full."));
    troubles.setWarnings({Warning::DiskNearlyFull});
    CHECK(changes == 1);
    troubles.setWarnings({Warning::DiskNearlyFull, Warning::ReserveUsed});
    CHECK(troubles.gravest() == "Storage is full.");
    troubles.setWarnings({});
    CHECK(troubles.count() == 0);
    CHECK(changes == 3);
    troubles.look();
    phone.tell();
    CHECK(changes == 3);
}

TEST_CASE("A battery that runs down below 15 % is said, one that charges is not", "[troubles]") {
    TestPhone phone;
    TroublesModel troubles(phone.phone());
    troubles.setBattery(15, true);
    CHECK(troubles.count() == 0);
    troubles.setBattery(14, true);
    CHECK(troubles.gravest() == "Battery at 14 %.");
    troubles.setBattery(14, false);
    CHECK(troubles.count() == 0);
}

TEST_CASE("A clock that differs from the satellites', or was set back, is told", "[troubles]") {
    TestPhone phone;
    TroublesModel troubles(phone.phone());
    phone.note();
    need(phone.phone().tagging.release(std::nullopt));
    phone.hearFix(3000);
    troubles.look();
    CHECK(troubles.count() == 0);
    phone.clock.setSkew(4min);
    troubles.look();
    CHECK(troubles.count() == 0);
    phone.clock.setSkew(-1h);
    troubles.look();
    CHECK(troubles.gravest() == "The phone’s clock is 60 min behind.");
    CHECK(wordsOf(troubles, "clock").startsWith("Set it in the phone’s settings. All lines are safe"));
    phone.clock.setSkew(24h * 3652);
    troubles.look();
    CHECK(troubles.gravest() == "The phone’s clock is 3652 days ahead.");
    // Without a receiver only the last line tells.
    phone.receiver.fixes.clear();
    troubles.look();
    CHECK(troubles.count() == 0);
    phone.clock.setSkew(-3h);
    troubles.look();
    CHECK(troubles.gravest() == "The clock was set back by 3 h.");
    // It stops nothing.
    const auto before = phone.phone().journal().head().seq;
    phone.note();
    phone.tell();
    CHECK(phone.phone().journal().head().seq > before);
}
