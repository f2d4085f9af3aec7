#include "services/tag_look.h"

#include "catch_compat.hpp"
#include "desk.h"
#include "services/picture_frames.h"

#include <atomic>
#include <condition_variable>
#include <deque>
#include <fstream>
#include <future>

// Threads are told to go on by the test, never by the clock: nothing here sleeps. A wait that never ends is the
// program's failure, cut off by the time that a test may take.

using namespace discal;
using namespace discal::tests;
using namespace discal::services;

namespace {

/// One pixel whose red says which frame it is.
Frame frame(std::uint8_t number) { return {1, 1, {number, 0, 0}}; }

/// A camera that gives what the test says, from a thread of the test's choice.
class HandFed final : public FrameSource {
public:
    [[nodiscard]] Result<void> start(Take take, std::function<void(Error)> onEnd) override {
        const std::lock_guard lock(m_mutex);
        if (refuses)
            return fail(*refuses);
        m_take = std::move(take);
        m_onEnd = std::move(onEnd);
        ++starts;
        return {};
    }
    void stop() override {
        const std::lock_guard lock(m_mutex);
        m_take = nullptr;
        ++stops;
    }
    void give(std::uint8_t number) {
        const std::lock_guard lock(m_mutex);
        if (m_take)
            m_take(frame(number));
    }
    void end(Code why) { m_onEnd({why}); }

    std::optional<Code> refuses;
    int starts{0};
    int stops{0};

private:
    std::mutex m_mutex;
    Take m_take;
    std::function<void(Error)> m_onEnd;
};

/// What passes between the test and the thread that reads.
class Script {
public:
    struct Looked {
        std::uint8_t frame{0};
        std::size_t codesWanted{0};
        std::thread::id thread;
    };
    /// On the reader's thread: says that it is at work, waits for the answer.
    Reading answer(Looked looked) {
        std::unique_lock lock(m_mutex);
        m_looked.push_back(looked);
        m_changed.notify_all();
        m_changed.wait(lock, [&] { return !m_answers.empty(); });
        Reading reading = m_answers.front();
        m_answers.pop_front();
        return reading;
    }
    Looked awaitLook() {
        std::unique_lock lock(m_mutex);
        m_changed.wait(lock, [&] { return !m_looked.empty(); });
        const Looked looked = m_looked.front();
        m_looked.pop_front();
        return looked;
    }
    void say(Verdict verdict) {
        const std::lock_guard lock(m_mutex);
        Reading reading;
        reading.verdict = verdict;
        m_answers.push_back(reading);
        m_changed.notify_all();
    }
    void hear(Verdict verdict) {
        const std::lock_guard lock(m_mutex);
        m_heard.push_back(verdict);
        m_changed.notify_all();
    }
    Verdict awaitReading() {
        std::unique_lock lock(m_mutex);
        m_changed.wait(lock, [&] { return !m_heard.empty(); });
        const Verdict verdict = m_heard.front();
        m_heard.pop_front();
        return verdict;
    }
    bool hasHeard() {
        const std::lock_guard lock(m_mutex);
        return !m_heard.empty();
    }

private:
    std::mutex m_mutex;
    std::condition_variable m_changed;
    std::deque<Looked> m_looked;
    std::deque<Reading> m_answers;
    std::deque<Verdict> m_heard;
};

class Scripted final : public CodeReader {
public:
    Scripted(Script& script, std::atomic<int>& alive) : m_script(script), m_alive(alive) { ++m_alive; }
    ~Scripted() override { --m_alive; }
    void expect(Wanted wanted) override { m_codes = wanted.codes.size(); }
    [[nodiscard]] Reading look(const Frame& seen) override {
        return m_script.answer({seen.rgb.front(), m_codes, std::this_thread::get_id()});
    }

private:
    Script& m_script;
    std::atomic<int>& m_alive;
    std::size_t m_codes{0};
};

struct Table {
    HandFed camera;
    Script script;
    std::atomic<int> readersMade{0};
    std::atomic<int> readersAlive{0};
    std::atomic<int> framesSeen{0};
    std::atomic<int> ends{0};
    std::optional<Code> noReader;
    std::promise<Code> ended;
    TagLook look{camera,
                 [this]() -> Result<std::unique_ptr<CodeReader>> {
                     ++readersMade;
                     if (noReader)
                         return fail(*noReader);
                     return std::make_unique<Scripted>(script, readersAlive);
                 },
                 {[this](const Frame&) { ++framesSeen; },
                  [this](const Reading& reading) { script.hear(reading.verdict); },
                  [this](const Error& error) {
                      if (ends++ == 0)
                          ended.set_value(error.code);
                  }}};
};

Wanted wantedCodes(std::size_t count) {
    Wanted wanted;
    const auto first = need(tag::Code::fromText("RKD 001"));
    for (std::size_t i = 0; i < count; ++i)
        wanted.codes.push_back(*tag::Scheme::of(first).next(first, i));
    return wanted;
}

} // namespace

TEST_CASE("While one frame is read only the newest of the others waits", "[services][look]") {
    Table table;
    need(table.look.start(wantedCodes(3)));
    table.camera.give(1);
    const auto first = table.script.awaitLook();
    CHECK(first.frame == 1);
    CHECK(first.codesWanted == 3);
    CHECK(first.thread != std::this_thread::get_id());
    for (std::uint8_t number = 2; number <= 5; ++number)
        table.camera.give(number);
    CHECK(table.framesSeen == 5);
    table.script.say(Verdict::Refused);
    CHECK(table.script.awaitReading() == Verdict::Refused);
    CHECK(table.script.awaitLook().frame == 5);
    table.script.say(Verdict::Refused);
    CHECK(table.script.awaitReading() == Verdict::Refused);
    CHECK(table.readersMade == 1);
}

TEST_CASE("After a verdict frames are shown and no longer read, until the next look", "[services][look]") {
    Table table;
    for (const Verdict verdict : {Verdict::Accepted, Verdict::Unlisted}) {
        need(table.look.start(wantedCodes(2)));
        table.camera.give(1);
        (void)table.script.awaitLook();
        table.camera.give(2);
        table.script.say(verdict);
        CHECK(table.script.awaitReading() == verdict);
        const int seen = table.framesSeen;
        table.camera.give(3);
        CHECK(table.framesSeen == seen + 1);
        table.look.stop();
    }
    // Frame 2 or 3 of a look that is over would have been asked about before this one.
    need(table.look.start(wantedCodes(7)));
    table.camera.give(9);
    const auto next = table.script.awaitLook();
    CHECK(next.frame == 9);
    CHECK(next.codesWanted == 7);
    table.script.say(Verdict::Refused);
    (void)table.script.awaitReading();
    CHECK(table.readersMade == 1);
}

TEST_CASE("Stopping waits for no reader, and what it says afterwards is told nobody", "[services][look]") {
    Table table;
    need(table.look.start(wantedCodes(1)));
    table.camera.give(1);
    (void)table.script.awaitLook();
    table.look.stop();  // the reader is at work, and stays so
    CHECK_FALSE(table.look.isRunning());
    CHECK(table.camera.stops == 1);
    need(table.look.start(wantedCodes(2)));
    table.camera.give(2);
    table.script.say(Verdict::Accepted);  // of the look that was stopped
    CHECK(table.script.awaitLook().frame == 2);
    CHECK_FALSE(table.script.hasHeard());
    table.script.say(Verdict::Unlisted);
    CHECK(table.script.awaitReading() == Verdict::Unlisted);
}

TEST_CASE("At rest neither thread nor reader is left, and the next look makes them anew", "[services][look]") {
    Table table;
    need(table.look.start(wantedCodes(1)));
    table.camera.give(1);
    (void)table.script.awaitLook();
    table.script.say(Verdict::Refused);
    (void)table.script.awaitReading();
    CHECK(table.readersAlive == 1);
    table.look.rest();
    CHECK(table.readersAlive == 0);
    table.look.rest();
    need(table.look.start(wantedCodes(1)));
    table.camera.give(2);
    CHECK(table.script.awaitLook().frame == 2);
    table.script.say(Verdict::Refused);
    (void)table.script.awaitReading();
    CHECK(table.readersMade == 2);
}

TEST_CASE("Without a camera, or when it goes, a look ends and says why", "[services][look]") {
    SECTION("none is there") {
        Table table;
        table.camera.refuses = Code::NotFound;
        const auto started = table.look.start({});
        REQUIRE_FALSE(started);
        CHECK(started.error().code == Code::NotFound);
        CHECK_FALSE(table.look.isRunning());
        table.camera.refuses.reset();
        need(table.look.start({}));
        CHECK(table.look.isRunning());
    }
    SECTION("it fails later on: once is enough") {
        Table table;
        need(table.look.start({}));
        table.camera.end(Code::Io);
        table.camera.end(Code::Io);
        CHECK(table.ended.get_future().get() == Code::Io);
        CHECK(table.ends == 1);
        table.camera.give(1);
        CHECK(table.framesSeen == 0);
    }
    SECTION("there is nothing to read with") {
        Table table;
        table.noReader = Code::NotFound;
        need(table.look.start({}));
        table.camera.give(1);
        CHECK(table.ended.get_future().get() == Code::NotFound);
        CHECK(table.readersAlive == 0);
    }
}

TEST_CASE("A look may end while frames come from another thread", "[services][look]") {
    for (int round = 0; round < 20; ++round) {
        Table table;
        std::atomic<bool> isOver{false};
        // Each answer beforehand: the reader never waits.
        for (int i = 0; i < 1000; ++i)
            table.script.say(Verdict::Refused);
        std::thread giver([&] {
            for (std::uint8_t number = 0; !isOver; ++number)
                table.camera.give(number);
        });
        for (int look = 0; look < 5; ++look) {
            need(table.look.start(wantedCodes(1)));
            (void)table.script.awaitLook();
            table.look.stop();
        }
        isOver = true;
        giver.join();
        CHECK(table.camera.starts == 5);
    }
}

TEST_CASE("A folder of pictures stands for a camera, in the order of their names, over and over", "[services][look]") {
    const TemporaryFolder folder;
    for (const char* name : {"b", "a", "c-is-none"})
        std::ofstream(folder.path() / name) << name;
    const auto load = [](const std::filesystem::path& file) -> Result<Frame> {
        const std::string name = file.filename().string();
        if (name.size() > 1)
            return fail(Code::BadInput);
        return frame(static_cast<std::uint8_t>(name.front()));
    };
    PictureFrames pictures(folder.path(), load, std::chrono::milliseconds(0));
    std::mutex mutex;
    std::string seen;
    std::promise<void> enough;
    need(pictures.start(
        [&](Frame taken) {
            const std::lock_guard lock(mutex);
            seen += static_cast<char>(taken.rgb.front());
            if (seen.size() == 5)
                enough.set_value();
        },
        [](Error) {}));
    enough.get_future().wait();
    pictures.stop();
    const std::size_t count = seen.size();
    CHECK(seen.substr(0, 5) == "ababa");
    pictures.stop();
    CHECK(seen.size() == count);
}

TEST_CASE("A folder without pictures is no camera", "[services][look]") {
    const TemporaryFolder folder;
    const auto load = [](const std::filesystem::path&) -> Result<Frame> { return fail(Code::BadInput); };
    PictureFrames pictures(folder.path(), load);
    const auto started = pictures.start([](Frame) {}, [](Error) {});
    REQUIRE_FALSE(started);
    CHECK(started.error().code == Code::NotFound);
    std::ofstream(folder.path() / "words.txt") << "no picture";
    std::promise<Code> ended;
    need(pictures.start([](Frame) {}, [&](Error error) { ended.set_value(error.code); }));
    CHECK(ended.get_future().get() == Code::NotFound);
}
