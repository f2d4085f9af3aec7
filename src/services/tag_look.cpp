#include "services/tag_look.h"

#include <condition_variable>
#include <utility>

namespace discal::services {

/// What the three threads share. `look` counts the looks, so that what belongs to an ended one is told nobody.
struct TagLook::Mailbox {
    std::mutex mutex;
    std::condition_variable changed;
    Ears ears;
    Wanted wanted;
    Frame newest;
    std::uint64_t look{0};
    bool isOpen{false};     ///< frames are taken
    bool isDecided{false};  ///< this look has its verdict
    bool isOver{false};     ///< the thread shall end
};

TagLook::TagLook(FrameSource& source, MakeReader makeReader, Ears ears)
    : m_source(source), m_makeReader(std::move(makeReader)), m_box(std::make_shared<Mailbox>()) {
    m_box->ears = std::move(ears);
}

TagLook::~TagLook() { rest(); }

Result<void> TagLook::start(Wanted wanted) {
    stop();
    {
        const std::lock_guard lock(m_box->mutex);
        m_box->wanted = std::move(wanted);
        m_box->isOpen = true;
        m_box->isDecided = false;
    }
    if (!m_thread.joinable())
        m_thread = std::thread(&TagLook::run, m_box, m_makeReader);
    m_isRunning = true;
    auto started = m_source.start(
        [box = m_box](Frame frame) {
            const std::lock_guard lock(box->mutex);
            if (!box->isOpen)
                return;
            box->ears.onFrame(frame);
            if (box->isDecided)
                return;
            box->newest = std::move(frame);
            box->changed.notify_one();
        },
        [box = m_box](Error error) {
            const std::lock_guard lock(box->mutex);
            if (std::exchange(box->isOpen, false))
                box->ears.onEnd(error);
        });
    if (!started)
        stop();
    return started;
}

void TagLook::stop() {
    if (!std::exchange(m_isRunning, false))
        return;
    {
        const std::lock_guard lock(m_box->mutex);
        ++m_box->look;
        m_box->isOpen = false;
        m_box->newest = {};
    }
    // Not with the lock: a frame on its way waits for it.
    m_source.stop();
}

void TagLook::rest() {
    stop();
    {
        const std::lock_guard lock(m_box->mutex);
        m_box->isOver = true;
        m_box->changed.notify_one();
    }
    if (m_thread.joinable())
        m_thread.join();
    m_box->isOver = false;
}

void TagLook::run(const std::shared_ptr<Mailbox>& box, const MakeReader& makeReader) {
    std::unique_ptr<CodeReader> reader;
    std::uint64_t expecting = 0;
    std::unique_lock lock(box->mutex);
    while (true) {
        box->changed.wait(lock, [&] { return box->isOver || !box->newest.isEmpty(); });
        if (box->isOver)
            return;
        const std::uint64_t look = box->look;
        const auto isStillWanted = [&] { return box->isOpen && box->look == look && !box->isOver; };
        if (!reader) {
            lock.unlock();
            auto made = makeReader();
            lock.lock();
            if (!made) {
                if (isStillWanted()) {
                    box->isOpen = false;
                    box->ears.onEnd(made.error());
                }
                box->newest = {};
                continue;
            }
            reader = std::move(*made);
            expecting = look - 1;
            if (box->newest.isEmpty())
                continue;
        }
        if (box->look != look)
            continue;
        const Frame frame = std::exchange(box->newest, {});
        const bool isNewLook = std::exchange(expecting, look) != look;
        Wanted wanted = isNewLook ? box->wanted : Wanted{};
        lock.unlock();
        if (isNewLook)
            reader->expect(std::move(wanted));
        const Reading reading = reader->look(frame);
        lock.lock();
        if (!isStillWanted())
            continue;
        if (reading.verdict != Verdict::Refused) {
            box->isDecided = true;
            box->newest = {};
        }
        box->ears.onReading(reading);
    }
}

} // namespace discal::services
