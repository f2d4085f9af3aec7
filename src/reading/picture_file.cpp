#include "reading/picture_file.h"

#include <algorithm>
#include <array>
#include <cstring>
#include <fstream>
#include <memory>
#include <new>
#include <optional>
#include <png.h>
#include <string_view>
#include <turbojpeg.h>
#include <utility>

// libpng's simplified interface and TurboJPEG: both return errors as text, print nothing and jump over no frame of ours.

namespace discal::reading {

namespace {

using services::Frame;
using Bytes = std::span<const std::uint8_t>;

Error noPicture() {
    return {Code::BadInput, "a picture (PNG, JPEG, PNM)"};
}

Result<Frame> frameOf(std::uint64_t width, std::uint64_t height) {
    if (width == 0 || height == 0)
        return fail(Code::Corrupt, "a picture without pixels");
    if (width > kMostPixels || height > kMostPixels || width * height > kMostPixels)
        return fail(Code::OutOfRange, "pixels", static_cast<std::int64_t>(width * height));
    Frame frame{static_cast<int>(width), static_cast<int>(height), {}};
    frame.rgb.resize(3 * width * height);
    return frame;
}

bool startsWith(Bytes bytes, std::string_view magic) {
    return bytes.size() >= magic.size() && std::memcmp(bytes.data(), magic.data(), magic.size()) == 0;
}

// --- PNG

Result<Frame> readPng(Bytes bytes) {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    const auto freed = std::unique_ptr<png_image, decltype(&png_image_free)>(&image, png_image_free);
    if (png_image_begin_read_from_memory(&image, bytes.data(), bytes.size()) == 0)
        return fail(Code::Corrupt, image.message);
    auto frame = frameOf(image.width, image.height);
    if (!frame)
        return frame;
    image.format = PNG_FORMAT_RGB;
    image.flags |= PNG_IMAGE_FLAG_16BIT_sRGB; // without a gamma of its own, as 8 bits are
    const png_color white{255, 255, 255};
    if (png_image_finish_read(&image, &white, frame->rgb.data(), 0, nullptr) == 0)
        return fail(Code::Corrupt, image.message);
    return frame;
}

// --- JPEG

std::uint32_t big(Bytes bytes, std::size_t at, std::size_t count) {
    std::uint32_t out = 0;
    for (std::size_t i = 0; i < count; ++i)
        out = out << 8U | bytes[at + i];
    return out;
}

/// What stands before a JPEG's first scan.
struct JpegHead {
    int orientation{1};
    std::size_t scan{0}; ///< where its data begin; 0 without one
};

/// The orientation in the body of an Exif segment: TIFF 6.0, section 2; tag 274, SHORT. 1 for anything else.
int orientationIn(Bytes exif) {
    constexpr std::string_view kExif("Exif\0\0", 6);
    if (!startsWith(exif, kExif))
        return 1;
    const Bytes tiff = exif.subspan(kExif.size());
    const bool isLittle = startsWith(tiff, "II");
    if (tiff.size() < 8 || (!isLittle && !startsWith(tiff, "MM")))
        return 1;
    const auto number = [&](std::size_t at, std::size_t count) {
        std::uint32_t out = 0;
        for (std::size_t i = 0; i < count; ++i)
            out |= std::uint32_t{tiff[at + i]} << (8 * (isLittle ? i : count - 1 - i));
        return out;
    };
    const std::size_t entries = number(4, 4);
    if (number(2, 2) != 42 || entries > tiff.size() || tiff.size() - entries < 2)
        return 1;
    const std::size_t count = number(entries, 2);
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t at = entries + 2 + 12 * i;
        if (at + 12 > tiff.size())
            return 1;
        if (number(at, 2) != 274)
            continue;
        const std::uint32_t value = number(at + 8, 2);
        return number(at + 2, 2) == 3 && value >= 1 && value <= 8 ? static_cast<int>(value) : 1;
    }
    return 1;
}

/// ITU-T T.81, annex B: markers and their lengths.
JpegHead headOf(Bytes bytes) {
    JpegHead head;
    for (std::size_t at = 2; at + 4 <= bytes.size();) {
        if (bytes[at] != 0xFF)
            return head;
        const unsigned marker = bytes[at + 1];
        if (marker == 0xFF) { // fill
            ++at;
            continue;
        }
        const std::size_t length = big(bytes, at + 2, 2);
        if (length < 2 || at + 2 + length > bytes.size())
            return head;
        if (marker == 0xE1 && head.orientation == 1)
            head.orientation = orientationIn(bytes.subspan(at + 4, length - 2));
        at += 2 + length;
        if (marker == 0xDA) {
            head.scan = at;
            return head;
        }
    }
    return head;
}

/// In a scan 0xFF is followed by 0 or a marker: without an end marker the data were cut short.
bool isWhole(Bytes bytes, std::size_t scan) {
    constexpr std::array<std::uint8_t, 2> kEnd{0xFF, 0xD9};
    const Bytes data = bytes.subspan(scan);
    return scan > 0 && std::search(data.begin(), data.end(), kEnd.begin(), kEnd.end()) != data.end();
}

/// As the orientation says: 2 to 4 keep width and height, 5 to 8 exchange them.
Frame upright(Frame frame, int orientation) {
    if (orientation == 1)
        return frame;
    const bool isOver = orientation >= 5;
    Frame out{isOver ? frame.height : frame.width, isOver ? frame.width : frame.height, {}};
    out.rgb.resize(frame.rgb.size());
    const int right = frame.width - 1;
    const int bottom = frame.height - 1;
    std::uint8_t* to = out.rgb.data();
    for (int y = 0; y < out.height; ++y)
        for (int x = 0; x < out.width; ++x, to += 3) {
            int fromX = isOver ? y : x;
            int fromY = isOver ? x : y;
            // Where the stored picture's 0th row and column are (CIPA DC-008, tag 274).
            if (orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8)
                fromX = right - fromX;
            if (orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7)
                fromY = bottom - fromY;
            const std::size_t from = 3 * (static_cast<std::size_t>(fromY) * static_cast<std::size_t>(frame.width) +
                                          static_cast<std::size_t>(fromX));
            std::copy_n(frame.rgb.data() + from, 3, to);
        }
    return out;
}

struct Turbo {
    explicit Turbo(tjhandle made) : handle(made) {}
    ~Turbo() {
        if (handle != nullptr)
            tjDestroy(handle);
    }
    Turbo(const Turbo&) = delete;
    Turbo& operator=(const Turbo&) = delete;
    tjhandle handle;
};

/// Printing presses' four inks, on white paper; Adobe stores them inverted (Adobe Technical Note 5116).
void toRgb(std::span<const std::uint8_t> inks, Frame& frame) {
    for (std::size_t pixel = 0; 4 * pixel < inks.size(); ++pixel)
        for (std::size_t c = 0; c < 3; ++c)
            frame.rgb[3 * pixel + c] =
                static_cast<std::uint8_t>(inks[4 * pixel + c] * unsigned{inks[4 * pixel + 3]} / 255);
}

Result<Frame> readJpeg(Bytes bytes) {
    const Turbo turbo(tjInitDecompress());
    if (turbo.handle == nullptr)
        return fail(Code::OutOfMemory);
    int width = 0;
    int height = 0;
    int sampling = 0;
    int space = 0;
    const auto size = static_cast<unsigned long>(bytes.size());
    if (tjDecompressHeader3(turbo.handle, bytes.data(), size, &width, &height, &sampling, &space) != 0)
        return fail(Code::Corrupt, tjGetErrorStr2(turbo.handle));
    const JpegHead head = headOf(bytes);
    if (!isWhole(bytes, head.scan))
        return fail(Code::Corrupt, "the picture is cut short");
    auto frame = frameOf(static_cast<std::uint64_t>(width), static_cast<std::uint64_t>(height));
    if (!frame)
        return frame;
    const bool isInks = space == TJCS_CMYK || space == TJCS_YCCK;
    std::vector<std::uint8_t> inks(isInks ? 4 * frame->rgb.size() / 3 : 0);
    // No more scans than any camera writes: a hostile progressive file may hold thousands.
    const int failed = tjDecompress2(turbo.handle, bytes.data(), size, isInks ? inks.data() : frame->rgb.data(), width, 0,
                                     height, isInks ? TJPF_CMYK : TJPF_RGB, TJFLAG_LIMITSCANS);
    // What it only warns of (a bad byte, stray bytes between segments) many phones write.
    if (failed != 0 && tjGetErrorCode(turbo.handle) != TJERR_WARNING)
        return fail(Code::Corrupt, tjGetErrorStr2(turbo.handle));
    if (isInks)
        toRgb(inks, *frame);
    return upright(std::move(*frame), head.orientation);
}

// --- PNM

/// The next number of a head: blanks and comments before it are passed over. At most nine digits.
std::optional<std::uint32_t> numberAt(Bytes bytes, std::size_t& at) {
    const auto isBlank = [](std::uint8_t c) { return c == ' ' || (c >= 9 && c <= 13); };
    while (at < bytes.size() && (isBlank(bytes[at]) || bytes[at] == '#')) {
        if (bytes[at] == '#')
            while (at < bytes.size() && bytes[at] != '\n')
                ++at;
        else
            ++at;
    }
    std::uint32_t out = 0;
    std::size_t digits = 0;
    for (; at < bytes.size() && bytes[at] >= '0' && bytes[at] <= '9' && digits < 9; ++at, ++digits)
        out = 10 * out + (bytes[at] - std::uint32_t{'0'});
    return digits > 0 && at < bytes.size() && isBlank(bytes[at]) ? std::optional(out) : std::nullopt;
}

/// Netpbm's manual pages pgm(5) and ppm(5): magic, width, height, greatest value, one blank, rows.
Result<Frame> readPnm(Bytes bytes) {
    std::size_t at = 2;
    const auto width = numberAt(bytes, at);
    const auto height = numberAt(bytes, at);
    const auto greatest = numberAt(bytes, at);
    if (!width || !height || !greatest)
        return fail(Code::Corrupt, "the head of a PNM picture");
    if (*greatest < 1 || *greatest > 255)
        return fail(noPicture());
    auto frame = frameOf(*width, *height);
    if (!frame)
        return frame;
    const bool isGrey = bytes[1] == '5';
    const Bytes pixels = bytes.subspan(at + 1);
    if (pixels.size() < frame->rgb.size() / (isGrey ? 3 : 1))
        return fail(Code::Corrupt, "the picture is cut short");
    for (std::size_t i = 0; i < frame->rgb.size(); ++i)
        frame->rgb[i] = static_cast<std::uint8_t>(
            std::min<std::uint32_t>(*greatest, pixels[isGrey ? i / 3 : i]) * 255 / *greatest);
    return frame;
}

Result<Frame> readAny(Bytes bytes) {
    if (bytes.size() > kMostPictureBytes)
        return fail(Code::OutOfRange, "bytes", static_cast<std::int64_t>(bytes.size()));
    if (startsWith(bytes, "\x89PNG\r\n\x1A\n"))
        return readPng(bytes);
    if (startsWith(bytes, "\xFF\xD8\xFF"))
        return readJpeg(bytes);
    if (startsWith(bytes, "P5") || startsWith(bytes, "P6"))
        return readPnm(bytes);
    return fail(noPicture());
}

Result<std::vector<std::uint8_t>> bytesOf(const std::filesystem::path& file) {
    std::error_code ec;
    const auto status = std::filesystem::status(file, ec);
    if (!std::filesystem::exists(status))
        return fail(Code::NotFound, file.string());
    // A pipe or a device may never end.
    if (!std::filesystem::is_regular_file(status))
        return fail(noPicture());
    std::ifstream in(file, std::ios::binary);
    std::vector<std::uint8_t> bytes;
    std::array<char, 1U << 16U> block{};
    while (in && bytes.size() <= kMostPictureBytes) {
        in.read(block.data(), block.size());
        bytes.insert(bytes.end(), block.data(), block.data() + in.gcount());
    }
    if (!in.eof() && bytes.size() <= kMostPictureBytes)
        return fail(Code::Io, file.string());
    return bytes;
}

// --- Writing

/// Half the width and height, each pixel the mean of four.
Frame halved(const Frame& frame) {
    Frame out{frame.width / 2, frame.height / 2, {}};
    const auto row = 3 * static_cast<std::size_t>(frame.width);
    out.rgb.reserve(3 * static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height));
    for (std::size_t y = 0; y < static_cast<std::size_t>(out.height); ++y)
        for (std::size_t x = 0; x < static_cast<std::size_t>(out.width); ++x)
            for (std::size_t c = 0; c < 3; ++c) {
                const std::uint8_t* from = frame.rgb.data() + 2 * y * row + 6 * x + c;
                out.rgb.push_back(static_cast<std::uint8_t>((from[0] + from[3] + from[row] + from[row + 3] + 2) / 4));
            }
    return out;
}

Result<std::string> jpegOf(const Frame& frame, int quality) {
    const Turbo turbo(tjInitCompress());
    if (turbo.handle == nullptr)
        return fail(Code::OutOfMemory);
    unsigned char* made = nullptr;
    unsigned long size = 0;
    const int failed = tjCompress2(turbo.handle, frame.rgb.data(), frame.width, 0, frame.height, TJPF_RGB, &made, &size,
                                   TJSAMP_420, quality, 0);
    const auto freed = std::unique_ptr<unsigned char, decltype(&tjFree)>(made, tjFree);
    if (failed != 0)
        return fail(Code::OutOfRange, tjGetErrorStr2(turbo.handle));
    return std::string(reinterpret_cast<const char*>(made), size);
}

bool isSound(const Frame& frame) {
    return frame.width > 0 && frame.height > 0 &&
           frame.rgb.size() == 3 * static_cast<std::size_t>(frame.width) * static_cast<std::size_t>(frame.height);
}

Result<std::string> encodeAny(const Frame& frame, std::size_t mostBytes) {
    if (!isSound(frame))
        return fail(Code::BadInput, "a picture whose pixels make up its size");
    Frame smaller;
    for (const Frame* of = &frame; of->width > 0 && of->height > 0;) {
        for (const int quality : {90, 80, 65, 45, 30}) {
            auto jpeg = jpegOf(*of, quality);
            if (!jpeg || jpeg->size() <= mostBytes)
                return jpeg;
        }
        smaller = halved(*of);
        of = &smaller;
    }
    return fail(Code::OutOfRange, "bytes", static_cast<std::int64_t>(mostBytes));
}

} // namespace

Result<Frame> pictureFrom(Bytes bytes) {
    try {
        return readAny(bytes);
    } catch (const std::bad_alloc&) {
        return fail(Code::OutOfMemory);
    }
}

Result<Frame> loadPicture(const std::filesystem::path& file) {
    try {
        const auto bytes = bytesOf(file);
        return bytes ? readAny(*bytes) : fail(bytes.error());
    } catch (const std::bad_alloc&) {
        return fail(Code::OutOfMemory);
    } catch (const std::exception& e) {
        return fail(Code::Io, e.what());
    }
}

Result<std::string> encodePicture(const Frame& frame, std::size_t mostBytes) {
    try {
        return encodeAny(frame, mostBytes);
    } catch (const std::bad_alloc&) {
        return fail(Code::OutOfMemory);
    }
}

} // namespace discal::reading
