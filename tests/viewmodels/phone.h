#pragma once

// Phones for tests of view models.

#include "reference.h"
#include "services/sample/replay_clock.h"
#include "services/sample/seeded_randomness.h"
#include "viewmodels/field_phone.h"

#include <QAbstractItemModel>

#include <memory>
#include <stdexcept>

namespace discal::tests {

/// The value, or a failure of the test with the reason.
template <class T>
T need(Result<T> result) {
    if (!result)
        throw std::runtime_error("error " + std::to_string(static_cast<int>(result.error().code)) + ": " +
                                 result.error().detail);
    if constexpr (!std::is_void_v<T>)
        return std::move(*result);
}

/// A new phone: an empty journal with its services, a clock that stands, and a receiver that hears what a test says.
class BarePhone {
public:
    class Receiver final : public services::PositionSource {
    public:
        /// Of the last two minutes, as a receiver keeps them.
        [[nodiscard]] std::vector<place::Fix> fixesUntil(std::int64_t upMs) override {
            std::vector<place::Fix> out;
            for (const place::Fix& fix : fixes)
                if (fix.upMs <= upMs && fix.upMs >= upMs - 120'000)
                    out.push_back(fix);
            return out;
        }
        std::vector<place::Fix> fixes;
    };

    explicit BarePhone(const std::string& name = "A", std::string_view utc = "2026-09-05T15:00:00Z")
        : m_randomness(1, "lines" + name), m_keys(1, "device" + name),
          clock(name, need(time::parseUtc(utc)), std::chrono::minutes(-300), "America/Chicago") {
        open();
        need(phone().writer.ensureStarted({name, "tests", {}}));
    }

    [[nodiscard]] viewmodels::FieldPhone& phone() { return *m_phone; }
    [[nodiscard]] std::filesystem::path folder() const { return m_folder.path(); }
    void wait(std::chrono::milliseconds time) { clock.setTrueTime(clock.trueTime() + time); }
    void tell() { emit phone().changed(); }
    void receiveSheet(const std::string& first = "RKD 001", std::uint32_t count = 25, int perRow = 5) {
        need(phone().stock.receive({first, count, std::nullopt, perRow}));
        tell();
    }
    void hearFix(std::int64_t accuracyMm) {
        receiver.fixes = {{clock.trueTime(), clock.now().upMs, 435'570'000, -908'890'000, accuracyMm}};
    }
    /// The program ends and begins again. No model may stand on the old phone.
    void restart() {
        m_phone.reset();
        m_journal.reset();
        open();
        need(m_phone->resume());
    }

private:
    void open() {
        storage::Journal::WriteOptions options;
        options.program = "tests";
        options.newSeed = [this] { return m_keys.bytes<32>(); };
        m_journal = need(storage::Journal::openForWriting(storage::Place(m_folder.path() / "j.discal"), options));
        m_phone = std::make_unique<viewmodels::FieldPhone>(*m_journal, clock, m_randomness, receiver);
    }

    TemporaryFolder m_folder;
    services::sample::SeededRandomness m_randomness;
    services::sample::SeededRandomness m_keys;

public:
    Receiver receiver;
    services::sample::ReplayClock clock;

private:
    std::unique_ptr<storage::Journal> m_journal;
    std::unique_ptr<viewmodels::FieldPhone> m_phone;
};

/// On 5 September 2026 at 10:00 local time, with a sheet of `tags` from RKD 001, a recorder and a site.
class TestPhone : public BarePhone {
public:
    explicit TestPhone(std::uint32_t tags = 25) {
        const auto recorder = need(phone().station.person("MH"));
        phone().writer.setRecorder(recorder.id);
        place::Position position;
        position.latE7 = 435'571'000;
        position.lonE7 = -908'893'000;
        position.uncertaintyMm = 15'000;
        position.origin = place::Position::Origin::Site;
        const auto site = need(phone().station.site({"Ridge, meadow", position, 150'000}));
        receiveSheet("RKD 001", tags);
        phone().carryOver([&](auto& persisting) {
            persisting.site = site.id.text();
            persisting.origin = "wild";
        });
    }

    /// The code that it got; in hand.
    std::string note(const std::string& sex = "male", const std::string& origin = "wild") {
        services::Tagging::Note note;
        note.sex = sex;
        note.origin = origin;
        return need(phone().tagging.note(note)).code.text();
    }
    std::string hold(const std::string& cage, const std::string& sex = "male") {
        const std::string code = note(sex, "reared");
        need(phone().tagging.hold(std::nullopt, cage));
        wait(std::chrono::minutes(1));
        return code;
    }
    [[nodiscard]] butterfly::Butterfly find(const std::string& code) { return need(phone().tagging.find(code)); }
    [[nodiscard]] QString idOf(const std::string& code) { return QString::fromStdString(find(code).id.text()); }
    [[nodiscard]] std::string fateOf(const std::string& code) { return std::string(textOf(find(code).fate)); }
};

/// A row's value by the role's name, as a page sees it.
inline QString cell(const QAbstractItemModel& model, int row, const char* role) {
    return model.data(model.index(row, 0), model.roleNames().key(role)).toString();
}

} // namespace discal::tests
