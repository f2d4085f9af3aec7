#include "devices/receiver.h"

#include "catch_compat.hpp"

#include <QCoreApplication>
#include <QGeoCoordinate>

using namespace discal;
using devices::Receiver;

namespace {

/// Tells what a test wants it to.
class FakeSource : public QGeoPositionInfoSource {
public:
    FakeSource() : QGeoPositionInfoSource(nullptr) {}
    QGeoPositionInfo lastKnownPosition(bool = false) const override { return {}; }
    PositioningMethods supportedPositioningMethods() const override { return SatellitePositioningMethods; }
    int minimumUpdateInterval() const override { return 1; }
    Error error() const override { return m_error; }
    void startUpdates() override { isRunning = true; }
    void stopUpdates() override { isRunning = false; }
    void requestUpdate(int) override {}

    void refuse() {
        m_error = AccessError;
        emit errorOccurred(AccessError);
    }
    void tell(double lat, double lon, std::optional<double> accuracy) {
        QGeoPositionInfo info(QGeoCoordinate(lat, lon), QDateTime::fromString("2026-09-05T15:00:00Z", Qt::ISODate));
        if (accuracy)
            info.setAttribute(QGeoPositionInfo::HorizontalAccuracy, *accuracy);
        emit positionUpdated(info);
    }

    bool isRunning{false};

private:
    Error m_error{NoError};
};

class FakeClock : public services::Clock {
public:
    services::Moment now() override {
        services::Moment moment;
        moment.upMs = upMs;
        return moment;
    }
    std::int64_t upMs{1'000'000};
};

} // namespace

TEST_CASE("A position proves that the receiver is allowed again", "[receiver]") {
    auto owned = std::make_unique<FakeSource>();
    FakeSource& source = *owned;
    FakeClock clock;
    Receiver receiver(std::move(owned), clock);
    std::vector<bool> told;
    QObject::connect(&receiver, &Receiver::refusedChanged, [&](bool isRefused) { told.push_back(isRefused); });
    source.refuse();
    source.refuse();
    CHECK(receiver.isRefused());
    source.tell(43.5571, -90.8893, 6);
    CHECK_FALSE(receiver.isRefused());
    CHECK(told == std::vector<bool>{true, false});
}

TEST_CASE("Only positions that state their accuracy are kept, and none for long", "[receiver]") {
    auto owned = std::make_unique<FakeSource>();
    FakeSource& source = *owned;
    FakeClock clock;
    Receiver receiver(std::move(owned), clock);
    source.tell(43.5571, -90.8893, std::nullopt);
    source.tell(43.5571, -90.8893, 0);
    CHECK(receiver.fixesUntil(clock.upMs).empty());
    source.tell(43.5571, -90.8893, 6.5);
    REQUIRE(receiver.fixesUntil(clock.upMs).size() == 1);
    const auto fix = receiver.fixesUntil(clock.upMs).front();
    CHECK(fix.latE7 == 435571000);
    CHECK(fix.lonE7 == -908893000);
    CHECK(fix.accuracyMm == 6500);
    CHECK(receiver.fixesUntil(clock.upMs - 1).empty());
    clock.upMs += 24 * 3'600'000;
    CHECK(receiver.fixesUntil(clock.upMs).empty());
}

// Our own habit, ux.md 3: fast within a record, slow between, off at last
TEST_CASE("The receiver runs fast within a record and slowly after it", "[receiver]") {
    auto owned = std::make_unique<FakeSource>();
    FakeSource& source = *owned;
    FakeClock clock;
    Receiver receiver(std::move(owned), clock);
    CHECK_FALSE(source.isRunning);
    receiver.rest();
    CHECK(receiver.pace() == Receiver::Pace::Off);
    receiver.wake();
    CHECK(source.isRunning);
    CHECK(source.updateInterval() == 1000);
    clock.upMs += 40'000;
    receiver.rest();
    CHECK(source.updateInterval() == 15'000);
    clock.upMs += 60'000;
    CHECK(receiver.fastMs() == 40'000);
}
