#pragma once

#include "services/ports/frame_source.h"

#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <thread>

namespace discal::services {

/// A folder of pictures that stands for a camera, in sample sessions and tests: one after another in the order of their
/// names, from the beginning again behind the last. A file that is no picture is left out.
class PictureFrames final : public FrameSource {
public:
    using Load = std::function<Result<Frame>(const std::filesystem::path&)>;

    /// `load` is called on a thread of this source. `every`: from one picture to the next, if that is loaded by then.
    PictureFrames(std::filesystem::path folder, Load load,
                  std::chrono::milliseconds every = std::chrono::milliseconds(100));
    ~PictureFrames() override;

    /// NotFound, with the folder, where it holds no file. Where none of them is a picture the frames end with NotFound.
    [[nodiscard]] Result<void> start(Take take, std::function<void(Error)> onEnd) override;
    void stop() override;

private:
    void run(const std::vector<std::filesystem::path>& files, const Take& take, const std::function<void(Error)>& onEnd);
    /// False when it is stopped meanwhile.
    [[nodiscard]] bool rest(std::chrono::milliseconds time);

    std::filesystem::path m_folder;
    Load m_load;
    std::chrono::milliseconds m_every;
    std::thread m_thread;
    std::mutex m_mutex;
    std::condition_variable m_stopped;
    bool m_isStopping{false};
};

} // namespace discal::services
