#pragma once

#include "services/ports/code_reader.h"
#include "services/ports/frame_source.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>

namespace discal::services {

/// One look after another at what a camera sees: frames from a source go to a reader on a thread of its own, the newest
/// one at a time. While the reader works, newer frames push older ones out, so that no more than two are kept here.
///
/// All calls come from one thread, that of the screen; none waits for the reader but rest() and the destructor.
class TagLook {
public:
    /// Called once, on the look's thread, since it may take a second.
    using MakeReader = std::function<Result<std::unique_ptr<CodeReader>>()>;
    /// Who is told. Each call is short, comes from a thread that is not the caller's, and calls nothing here; none comes
    /// after stop() or the destructor returned.
    struct Ears {
        std::function<void(const Frame&)> onFrame;      ///< each frame, before it is read; from the source's thread
        std::function<void(const Reading&)> onReading;  ///< what the frames since start() say
        std::function<void(const Error&)> onEnd;        ///< no more frames come, or there is no reader: start() anew
    };

    TagLook(FrameSource& source, MakeReader makeReader, Ears ears);
    TagLook(const TagLook&) = delete;
    TagLook& operator=(const TagLook&) = delete;
    ~TagLook();

    /// Begins a look; one that is under way ends. After an accepted or unlisted reading frames are still shown, but no
    /// longer read. Errors as FrameSource::start.
    [[nodiscard]] Result<void> start(Wanted wanted);
    /// Ends it. The reader is kept for the next one.
    void stop();
    /// As stop(), and gives up thread and reader, tens of megabytes. Waits for a frame that is being read.
    void rest();
    [[nodiscard]] bool isRunning() const { return m_isRunning; }

private:
    struct Mailbox;

    static void run(const std::shared_ptr<Mailbox>& box, const MakeReader& makeReader);

    FrameSource& m_source;
    MakeReader m_makeReader;
    std::shared_ptr<Mailbox> m_box;
    std::thread m_thread;
    bool m_isRunning{false};
};

} // namespace discal::services
