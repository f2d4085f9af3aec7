#pragma once

#include "core/tag/label.h"
#include "services/ports/code_reader.h"
#include "services/sample/replay_phone.h"
#include "services/sample/script.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace discal::services::sample {

/// What reads the frames of a session. Either may be empty: then nothing is read.
struct Eyes {
    /// Called at the first look. NotFound from it is as if it were empty; any other error stops the replay.
    std::function<Result<std::unique_ptr<CodeReader>>()> makeReader;
    /// The picture in a file.
    std::function<Result<Frame>(const std::filesystem::path&)> load;
};

/// What came of one look at frames.
struct Sight {
    enum class For : std::uint8_t { New, Recapture, Label };
    For purpose{For::New};
    std::string frame;                    ///< the file that decided it, or the last; the first where it was passed over
    std::optional<Reading> reading;       ///< without its picture; nothing where the look was passed over
    std::optional<tag::SheetLabel> label; ///< of a look for one

    [[nodiscard]] bool isPassedOver() const { return !reading; }
    /// Of a label: accepted where one was read. Needs a reading.
    [[nodiscard]] Verdict verdict() const {
        return purpose != For::Label ? reading->verdict : label ? Verdict::Accepted : Verdict::Refused;
    }
};

/// Takes the looks of a script, as the camera's page would: frames in order, until one decides it. Writes no line.
class ReplayLook {
public:
    /// `frames` is their folder. `onSight` is told of each look.
    ReplayLook(std::filesystem::path frames, Eyes eyes, std::function<void(const Sight&)> onSight)
        : m_frames(std::move(frames)), m_eyes(std::move(eyes)), m_onSight(std::move(onSight)) {}

    /// An act `read`, with the codes that the phone may meet now. Errors of the eyes, with the frame's name.
    [[nodiscard]] Result<Sight> at(const Act& act, ReplayPhone& phone);

private:
    [[nodiscard]] Result<CodeReader*> reader();
    [[nodiscard]] Result<void> look(const Act& act, CodeReader& reader, Sight& sight) const;

    std::filesystem::path m_frames;
    Eyes m_eyes;
    std::function<void(const Sight&)> m_onSight;
    std::unique_ptr<CodeReader> m_reader;
};

/// BadInput with the first difference. A look that was passed over is compared with nothing.
[[nodiscard]] Result<void> compare(const Expect& expect, const Sight& sight);

} // namespace discal::services::sample
