// How near a durable note and release come to the physical limit: each line that the services make durable is also
// appended raw to a growing file and synced with fdatasync, side by side in the same run, so that the machine and its
// load cancel out of the ratio. Also: verifying, rebuilding and opening a journal of that length, with memory.
//
//   durable_lines [LINES_BEFORE] [PAIRS]     lines already in the journal; notes and releases to measure

#include "services/field_session.h"
#include "services/sample/seeded_randomness.h"
#include "services/stock.h"
#include "services/tagging.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <iostream>
#include <sys/resource.h>
#include <unistd.h>

using namespace discal;
using Clock = std::chrono::steady_clock;

namespace {

/// A clock that moves half a minute with every look, and a simple source of bytes: no cost that isn't Discal's.
class SteppingClock final : public services::Clock {
public:
    services::Moment now() override {
        m_ms += 30'000;
        return {time::Instant(std::chrono::milliseconds(1'788'600'000'000 + m_ms)), std::chrono::minutes(-300),
                "America/Chicago", "bench", m_ms};
    }

private:
    std::int64_t m_ms{0};
};

double micros(Clock::duration d) { return std::chrono::duration<double, std::micro>(d).count(); }

double seconds(Clock::duration d) { return std::chrono::duration<double>(d).count(); }

struct Times {
    std::vector<double> us;
    void add(Clock::duration d) { us.push_back(micros(d)); }
    [[nodiscard]] double mean() const {
        double sum = 0;
        for (const double t : us)
            sum += t;
        return us.empty() ? 0 : sum / static_cast<double>(us.size());
    }
    [[nodiscard]] double percentile(double p) const {
        auto sorted = us;
        std::sort(sorted.begin(), sorted.end());
        return sorted[static_cast<std::size_t>(p * static_cast<double>(sorted.size() - 1))];
    }
};

class RawFile {
public:
    explicit RawFile(const std::filesystem::path& path)
        : m_fd(::open(path.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0644)) {}
    ~RawFile() { ::close(m_fd); }
    void append(const std::string& line) const {
        if (::write(m_fd, line.data(), line.size()) != static_cast<ssize_t>(line.size()) || ::fdatasync(m_fd) != 0)
            std::abort();
    }

private:
    int m_fd;
};

template <class T>
T need(Result<T> result) {
    if (!result) {
        std::cerr << "bench: error " << static_cast<int>(result.error().code) << " " << result.error().detail << "\n";
        std::exit(1);
    }
    return std::move(*result);
}

void need(const Result<void>& result) {
    if (!result)
        std::exit(1);
}

long peakMegabytes() {
    struct rusage usage {};
    ::getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss / 1024;
}

} // namespace

int main(int argc, char* argv[]) {
    const std::int64_t before = argc > 1 ? std::atoll(argv[1]) : 2000;
    const int pairs = argc > 2 ? std::atoi(argv[2]) : 500;
    std::string pattern = (std::filesystem::current_path() / "discal-bench-XXXXXX").string();
    if (::mkdtemp(pattern.data()) == nullptr)
        return 1;
    const std::filesystem::path folder = pattern;
    const storage::Place place(folder / "bench.discal");
    services::sample::SeededRandomness randomness(1, "bench");
    SteppingClock clock;
    services::NoPositions positions;
    storage::Journal::WriteOptions options;
    options.program = "bench";
    options.newSeed = [&] { return randomness.bytes<32>(); };

    Times durable;
    Times raw;
    double verifySeconds = 0;
    {
        auto journal = need(storage::Journal::openForWriting(place, options));
        services::LineWriter writer(*journal, clock, randomness);
        need(writer.ensureStarted({"bench", "bench", "bench"}));
        services::Stock stock(writer);
        services::FieldSession session(writer, positions);
        services::Tagging tagging(writer, session, stock);
        std::int64_t sheets = 0;
        const tag::Scheme scheme = need(tag::Scheme::learn("AAA 0000"));
        const auto receive = [&] {
            const tag::Code first = scheme.at(static_cast<std::uint64_t>(sheets++) * 1000);
            need(stock.receive({first.text(), 1000, scheme.pattern(), 0}));
            stock.wentOnFrom(first);
        };
        // Lines that are already there come in large commits: only their number matters.
        const auto filler = [&](std::int64_t lines) {
            tag::Code code = scheme.at(0);
            while (lines > 0) {
                receive();
                code = scheme.at(static_cast<std::uint64_t>(sheets - 1) * 1000);
                auto commit = writer.begin();
                for (int i = 0; i < 1000 && lines > 0; ++i) {
                    const auto id = commit.newId();
                    commit.newAct();
                    commit.add(journal::Kind::ButterflyNoted, {id},
                               {{"code", code.text()}, {"sex", "female"}, {"origin", "wild"}, {"session", "filler"}});
                    commit.newAct();
                    commit.add(journal::Kind::ButterflyReleased, {id}, {});
                    lines -= 2;
                    code = *scheme.next(code);
                }
                need(commit.save());
                need(journal->idle());
            }
        };
        filler(before);
        RawFile rawFile(folder / "raw.ndjson");
        receive();
        std::int64_t seq = journal->head().seq;
        for (int i = 0; i < pairs; ++i) {
            if (i % 900 == 899)
                receive();
            seq = journal->head().seq;
            const auto t0 = Clock::now();
            need(tagging.note({std::nullopt, "male", "wild", "", "", {}}));
            const auto t1 = Clock::now();
            need(tagging.release(std::nullopt));
            const auto t2 = Clock::now();
            durable.add(t1 - t0);
            durable.add(t2 - t1);
            for (std::int64_t s = seq + 1; s <= journal->head().seq; ++s) {
                const std::string line = *need(journal->file().line(journal->device(), s)) + "\n";
                const auto r0 = Clock::now();
                rawFile.append(line);
                raw.add(Clock::now() - r0);
            }
            if (i % 200 == 199)
                need(journal->idle());
        }
        need(journal->idle());
        const auto v0 = Clock::now();
        const auto report = need(journal->file().verify());
        verifySeconds = seconds(Clock::now() - v0);
        if (!report.isSound())
            return 1;
    }
    const long memoryWriting = peakMegabytes();
    const auto o0 = Clock::now();
    auto journal = need(storage::Journal::openForWriting(place, options));
    const double openMs = seconds(Clock::now() - o0) * 1000;
    const auto b0 = Clock::now();
    need(journal->projections().rebuild());
    const double rebuildSeconds = seconds(Clock::now() - b0);

    std::printf("lines in the journal          %lld\n", static_cast<long long>(journal->head().seq));
    std::printf("durable note or release, us   mean %7.1f  p50 %7.1f  p99 %7.1f\n", durable.mean(),
                durable.percentile(0.5), durable.percentile(0.99));
    std::printf("raw append + fdatasync, us    mean %7.1f  p50 %7.1f  p99 %7.1f\n", raw.mean(), raw.percentile(0.5),
                raw.percentile(0.99));
    std::printf("rate against raw, mean        %.2f\n", raw.mean() / durable.mean());
    std::printf("p99 against raw p99           %.2f\n", durable.percentile(0.99) / raw.percentile(0.99));
    std::printf("verify all, s                 %.2f\n", verifySeconds);
    std::printf("open, ms                      %.1f\n", openMs);
    std::printf("rebuild projections, s        %.2f\n", rebuildSeconds);
    std::printf("peak memory, MB               writing %ld, rebuilding %ld\n", memoryWriting, peakMegabytes());
    journal.reset();
    std::error_code ec;
    std::filesystem::remove_all(folder, ec);
    return 0;
}
