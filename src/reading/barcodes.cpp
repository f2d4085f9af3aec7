#include "reading/barcodes.h"

#include "reading/views.h"

#define ZX_USE_UTF8 1
#include <ZXing/ReadBarcode.h>

#include <algorithm>
#include <array>
#include <exception>
#include <functional>
#include <optional>

// All that knows which version of ZXing-C++ it is: 1.4 has DecodeHints and Result, 2 has ReaderOptions and Barcode.
#if __has_include(<ZXing/ReaderOptions.h>)
#include <ZXing/ReaderOptions.h>
using ZxOptions = ZXing::ReaderOptions;
using ZxBarcode = ZXing::Barcode;
#else
using ZxOptions = ZXing::DecodeHints;
using ZxBarcode = ZXing::Result;
#endif

namespace discal::reading {

using services::Barcode;
using services::Frame;
using services::Symbology;

namespace {

constexpr std::array kSymbologies{Symbology::QrCode, Symbology::DataMatrix, Symbology::Code128};

/// Pixels beyond which a view is not looked at thoroughly, but smaller. Our choice: what a second allows.
constexpr std::size_t kMostThorough = 3'000'000;
/// A camera frame with a side of more pixels is looked at in half its size.
constexpr int kMostFrameSide = 900;
constexpr std::size_t kLeastCode128 = 3;
/// Scan rows of Code 128 that must agree: where another view agrees as well, and where none does. Our choice.
constexpr int kFewRows = 3;
constexpr int kManyRows = 10;
constexpr int kMostInOneView = 8;

ZXing::BarcodeFormat formatOf(Symbology symbology) {
    switch (symbology) {
    case Symbology::QrCode:
        return ZXing::BarcodeFormat::QRCode;
    case Symbology::DataMatrix:
        return ZXing::BarcodeFormat::DataMatrix;
    case Symbology::Code128:
        break;
    }
    return ZXing::BarcodeFormat::Code128;
}

struct Found {
    std::string text;
    std::array<ZXing::PointI, 4> corners;
};

struct Look {
    bool isThorough{true};
    ZXing::Binarizer binarizer{ZXing::Binarizer::LocalAverage};
    int rows{kFewRows};
};

/// One symbol. Never more than one a call: on some clean Code 128 version 1.4 as packaged stops the process when it
/// compares several (an assertion).
ZxBarcode readWith(const Grey& grey, ZXing::BarcodeFormats formats, const Look& look) {
    ZxOptions options;
    options.setFormats(formats)
        .setTryHarder(look.isThorough)
        .setTryRotate(true)
        .setTryDownscale(false)
        .setBinarizer(look.binarizer)
        .setMinLineCount(static_cast<std::uint8_t>(look.rows))
        .setMaxNumberOfSymbols(1);
    return ZXing::ReadBarcode(ZXing::ImageView(grey.pixels.data(), grey.width, grey.height, ZXing::ImageFormat::Lum),
                              options);
}

std::optional<Found> readOne(const Grey& grey, Symbology symbology, const Look& look) {
    const auto result = readWith(grey, formatOf(symbology), look);
    if (!result.isValid() || result.format() != formatOf(symbology))
        return std::nullopt;
    Found found{result.text(), {}};
    const std::size_t least = symbology == Symbology::Code128 ? kLeastCode128 : 1;
    if (found.text.size() < least)
        return std::nullopt;
    std::copy(result.position().begin(), result.position().end(), found.corners.begin());
    return found;
}

/// White over a symbol, so that the next one is found.
void cover(Grey& grey, const std::array<ZXing::PointI, 4>& corners) {
    const auto [left, right] = std::minmax({corners[0].x, corners[1].x, corners[2].x, corners[3].x});
    const auto [top, bottom] = std::minmax({corners[0].y, corners[1].y, corners[2].y, corners[3].y});
    const auto isInside = [&](int x, int y) {
        int sides = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            const auto& a = corners[i];
            const auto& b = corners[(i + 1) % 4];
            const auto cross = static_cast<std::int64_t>(b.x - a.x) * (y - a.y) -
                               static_cast<std::int64_t>(b.y - a.y) * (x - a.x);
            sides += cross > 0 ? 1 : cross < 0 ? -1 : 0;
        }
        return std::abs(sides) >= 3;
    };
    for (int y = std::max(0, top); y <= std::min(bottom, grey.height - 1); ++y)
        for (int x = std::max(0, left); x <= std::min(right, grey.width - 1); ++x)
            if (isInside(x, y))
                grey.pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(grey.width) +
                            static_cast<std::size_t>(x)] = 255;
}

/// What was found in the views so far.
class Search {
public:
    [[nodiscard]] bool has(Symbology symbology) const {
        return std::any_of(m_found.begin(), m_found.end(), [&](const Barcode& b) { return b.symbology == symbology; });
    }
    [[nodiscard]] std::vector<Barcode> take() { return std::move(m_found); }

    void lookAt(const Grey& grey, Symbology symbology, const Look& look) {
        if (symbology == Symbology::Code128)
            return lookForCode128(grey, look);
        auto found = readOne(grey, symbology, look);
        if (!found)
            return;
        Grey rest = grey;
        for (int i = 0; found && i < kMostInOneView && add(symbology, found->text); ++i) {
            cover(rest, found->corners);
            found = readOne(rest, symbology, look);
        }
    }

private:
    /// False when it is there already.
    bool add(Symbology symbology, const std::string& text) {
        const bool isNew = std::none_of(m_found.begin(), m_found.end(), [&](const Barcode& b) { return b.text == text; });
        if (isNew)
            m_found.push_back({symbology, text});
        return isNew;
    }

    void lookForCode128(const Grey& grey, Look look) {
        const auto found = readOne(grey, Symbology::Code128, look);
        if (!found)
            return;
        const bool isSeenBefore = std::find(m_seen.begin(), m_seen.end(), found->text) != m_seen.end();
        m_seen.push_back(found->text);
        look.isThorough = true;
        look.rows = kManyRows;
        const auto again = isSeenBefore ? found : readOne(grey, Symbology::Code128, look);
        if (again && again->text == found->text)
            add(Symbology::Code128, found->text);
    }

    std::vector<Barcode> m_found;
    std::vector<std::string> m_seen; ///< Code 128 in one view, on few rows
};

std::vector<Barcode> lookQuickly(const Frame& frame) {
    const bool isLarge = std::max(frame.width, frame.height) > kMostFrameSide && std::min(frame.width, frame.height) > 1;
    const Grey grey = isLarge ? greenHalved(frame) : greyOf(frame);
    const Look look{.isThorough = false};
    // All at once: as a rule there is nothing, and that is known soonest so.
    constexpr auto kAll = ZXing::BarcodeFormat::QRCode | ZXing::BarcodeFormat::DataMatrix | ZXing::BarcodeFormat::Code128;
    if (!readWith(grey, kAll, look).isValid())
        return {};
    Search search;
    for (const Symbology symbology : kSymbologies)
        search.lookAt(grey, symbology, look);
    return search.take();
}

std::size_t sizeOf(const Grey& grey) {
    return grey.pixels.size();
}

std::vector<Barcode> lookThoroughly(const Frame& frame) {
    using ZXing::Binarizer;
    const Grey full = greyOf(frame);
    Search search;
    const auto lookIn = [&search](const Grey& grey, Binarizer binarizer) {
        for (const Symbology symbology : kSymbologies)
            if (!search.has(symbology))
                search.lookAt(grey, symbology, {.binarizer = binarizer});
    };
    const auto isDone = [&search] {
        return std::any_of(kSymbologies.begin(), kSymbologies.end(), [&](Symbology s) { return search.has(s); });
    };
    // A large picture first as a whole, then in a size in which the rest doesn't take minutes.
    lookIn(full, Binarizer::LocalAverage);
    Grey base = full;
    for (int times = 2; sizeOf(base) > kMostThorough; ++times)
        base = smaller(full, times);
    if (sizeOf(base) < sizeOf(full) && !isDone())
        lookIn(base, Binarizer::LocalAverage);
    const bool isSmall = sizeOf(base) <= kMostThorough / 4;
    const auto looks = std::to_array<std::function<void()>>({
        [&] { lookIn(base, Binarizer::GlobalHistogram); },
        [&] { lookIn(smaller(base, 2), Binarizer::LocalAverage); },
        [&] { lookIn(isSmall ? sharpened(doubled(base), 3) : sharpened(base, 3), Binarizer::LocalAverage); },
        [&] { lookIn(smoothed(base, 1), Binarizer::LocalAverage); },
        [&] { lookIn(inverted(base), Binarizer::LocalAverage); },
        [&] { lookIn(smaller(base, 3), Binarizer::LocalAverage); },
    });
    for (const auto& look : looks)
        if (!isDone())
            look();
    // ZXing turns by quarters only, and Code 128 needs its bars upright.
    if (!isDone() && isSmall)
        base = sharpened(doubled(base), 3);
    for (const double degrees : {-10.0, 10.0, -20.0, 20.0, -30.0, 30.0, -40.0, 40.0})
        if (!isDone())
            search.lookAt(turned(base, degrees), Symbology::Code128, {});
    return search.take();
}

} // namespace

std::vector<Barcode> findBarcodes(const Frame& frame, Effort effort) {
    if (!isSound(frame))
        return {};
    try {
        return effort == Effort::Frame ? lookQuickly(frame) : lookThoroughly(frame);
    } catch (const std::exception&) {
        return {};
    }
}

} // namespace discal::reading
