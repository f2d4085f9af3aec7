#pragma once

// A phone on a test's desk: a new journal, its services, clocks and a receiver that says what the test wants.

#include "reference.h"
#include "services/sample/replay_phone.h"

#include <chrono>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

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

class SetPositions final : public services::PositionSource {
public:
    std::vector<place::Fix> fixes;
    [[nodiscard]] std::vector<place::Fix> fixesUntil(std::int64_t) override { return fixes; }
};

class Desk {
public:
    explicit Desk(const std::string& phone = "A");

    services::sample::ReplayClock clock;
    SetPositions positions;

    [[nodiscard]] storage::Journal& journal() { return *m_journal; }
    [[nodiscard]] storage::Projections& projections() { return m_journal->projections(); }
    [[nodiscard]] services::LineWriter& writer() { return m_services->writer; }
    [[nodiscard]] services::FieldSession& session() { return m_services->session; }
    /// Says anew what carries over in the session.
    template <class Change>
    void carry(const Change& change) {
        auto persisting = session().persisting();
        change(persisting);
        need(session().carry(std::move(persisting)));
    }
    [[nodiscard]] services::Stock& stock() { return m_services->stock; }
    [[nodiscard]] services::Tagging& tagging() { return m_services->tagging; }
    [[nodiscard]] services::Amending& amending() { return m_services->amending; }
    [[nodiscard]] services::Station& station() { return m_services->station; }

    /// Time goes on.
    void pass(std::chrono::milliseconds time) { clock.setTrueTime(clock.trueTime() + time); }
    /// The program ends and begins again.
    void restart();
    /// A fix heard just now, 43.557 N, 90.889 W unless said.
    void hearFix(std::int64_t accuracyMm, std::int32_t latE7 = 435'570'000,
                 std::int32_t lonE7 = -908'890'000);

    void receiveSheet(const std::string& first = "RKD 001", std::uint32_t count = 25);
    services::Tagging::Noted note(const std::string& code = {}, const std::string& sex = "male",
                                  const std::string& origin = "wild");
    [[nodiscard]] butterfly::Butterfly find(const std::string& which);
    [[nodiscard]] std::string fateOf(const std::string& which) {
        return std::string(textOf(find(which).fate));
    }
    [[nodiscard]] std::string nextCode();
    /// Keys of doubts that are not settled.
    [[nodiscard]] std::vector<std::string> doubts();
    [[nodiscard]] journal::Line lineOf(const services::SavedLine& saved);

private:
    void open();

    TemporaryFolder m_folder;
    services::sample::SeededRandomness m_randomness;
    services::sample::SeededRandomness m_keys;
    std::unique_ptr<storage::Journal> m_journal;
    std::unique_ptr<services::sample::PhoneServices> m_services;
};

/// All chains of one journal go to another, as parcels would bring them.
[[nodiscard]] Result<void> exchange(storage::Journal& from, storage::Journal& to);
inline void exchange(Desk& from, Desk& to) {
    need(exchange(from.journal(), to.journal()));
}

/// A folder of sample-sessions/.
[[nodiscard]] std::filesystem::path sampleSession(const std::string& name);

} // namespace discal::tests
