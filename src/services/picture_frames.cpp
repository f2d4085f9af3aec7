#include "services/picture_frames.h"

#include <algorithm>
#include <utility>

namespace discal::services {

PictureFrames::PictureFrames(std::filesystem::path folder, Load load, std::chrono::milliseconds every)
    : m_folder(std::move(folder)), m_load(std::move(load)), m_every(every) {}

PictureFrames::~PictureFrames() { stop(); }

Result<void> PictureFrames::start(Take take, std::function<void(Error)> onEnd) {
    stop();
    std::vector<std::filesystem::path> files;
    std::error_code error;
    for (const auto& entry : std::filesystem::directory_iterator(m_folder, error))
        if (entry.is_regular_file(error))
            files.push_back(entry.path());
    if (files.empty())
        return fail(Code::NotFound, m_folder.string());
    std::sort(files.begin(), files.end());
    m_isStopping = false;
    m_thread = std::thread([this, files = std::move(files), take = std::move(take), onEnd = std::move(onEnd)] {
        run(files, take, onEnd);
    });
    return {};
}

void PictureFrames::stop() {
    if (!m_thread.joinable())
        return;
    {
        const std::lock_guard lock(m_mutex);
        m_isStopping = true;
    }
    m_stopped.notify_one();
    m_thread.join();
}

bool PictureFrames::rest(std::chrono::milliseconds time) {
    std::unique_lock lock(m_mutex);
    return !m_stopped.wait_for(lock, time, [this] { return m_isStopping; });
}

void PictureFrames::run(const std::vector<std::filesystem::path>& files, const Take& take,
                        const std::function<void(Error)>& onEnd) {
    for (bool isAny = true; isAny;) {
        isAny = false;
        for (const auto& file : files) {
            auto frame = m_load(file);
            if (frame) {
                isAny = true;
                take(std::move(*frame));
            }
            if (!rest(frame ? m_every : std::chrono::milliseconds(0)))
                return;
        }
    }
    onEnd({Code::NotFound, m_folder.string()});
}

} // namespace discal::services
