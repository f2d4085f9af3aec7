// Any bytes, to the reader of picture files. What it lets through is a sound picture, which can be written and read
// again. A head may promise 40 million pixels in few bytes; what promises more than 1 million is left to the tests, as
// unpacking each of those takes too long here.
//
// corpus/picture: the .png by make-pngs.py beside this file; the .jpg are frames of 16 x 8 pixels written by
// TurboJPEG 2.1.5 (one progressive, one of four inks, one with an orientation put in by hand); the .pnm by hand.

#include "reading/picture_file.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>

using namespace discal;

namespace {

void require(bool holds) {
    if (!holds)
        std::abort();
}

/// Width times height of a PNG's head, or of any frame header of a JPEG, is too much for a fuzzer's patience.
bool isLarge(const std::uint8_t* data, std::size_t size) {
    const auto number = [&](std::size_t at, std::size_t count) {
        std::uint64_t out = 0;
        for (std::size_t i = 0; i < count; ++i)
            out = out << 8U | data[at + i];
        return out;
    };
    constexpr std::uint64_t kMost = 1'000'000;
    if (size >= 24 && data[0] == 0x89)
        return number(16, 4) * number(20, 4) > kMost && number(16, 4) < (1U << 24U) && number(20, 4) < (1U << 24U);
    for (std::size_t at = 0; at + 9 <= size; ++at)
        if (data[0] == 0xFF && data[at] == 0xFF && data[at + 1] >= 0xC0 && data[at + 1] <= 0xCF &&
            number(at + 5, 2) * number(at + 7, 2) > kMost)
            return true;
    return false;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (isLarge(data, size))
        return 0;
    const auto frame = reading::pictureFrom({data, size});
    if (!frame) {
        require(frame.error().code == Code::OutOfMemory || !frame.error().detail.empty());
        return 0;
    }
    const auto pixels = static_cast<std::size_t>(frame->width) * static_cast<std::size_t>(frame->height);
    require(frame->width > 0 && frame->height > 0 && frame->rgb.size() == 3 * pixels);
    require(pixels <= reading::kMostPixels);
    if (pixels > 10'000 || frame->width > 60'000 || frame->height > 60'000)
        return 0;
    const auto jpeg = reading::encodePicture(*frame, 64U << 10U);
    if (!jpeg)
        return 0;
    require(jpeg->size() <= (64U << 10U));
    require(reading::pictureFrom({reinterpret_cast<const std::uint8_t*>(jpeg->data()), jpeg->size()}).has_value());
    return 0;
}
