#include "reading/glyph_network.h"

#include "reading/glyph_network_shape.h"

#include <Eigen/Dense>
#include <cmath>
#include <cstring>

// From glyph_weights.S: the bytes of assets/glyphs/glyphs.network.
extern "C" const std::uint8_t discal_glyph_weights[];
extern "C" const std::uint8_t discal_glyph_weights_end[];

namespace discal::reading {

using network::kLayers;
using network::Layer;

namespace {

constexpr std::string_view kMagic = "DISCALGN";
constexpr std::uint32_t kVersion = 1;
constexpr std::size_t kHead = 16;

using Picture = Eigen::MatrixXf; ///< a column a pixel, rows of the picture top first; a row a channel

std::uint32_t numberAt(std::span<const std::uint8_t> bytes, std::size_t at) {
    return bytes[at] | static_cast<std::uint32_t>(bytes[at + 1]) << 8 | static_cast<std::uint32_t>(bytes[at + 2]) << 16 |
           static_cast<std::uint32_t>(bytes[at + 3]) << 24;
}

/// Each pixel's kernel in a column of its own.
void unfold(const Layer& layer, const Picture& in, int height, int width, int outHeight, Picture& columns) {
    const int up = outHeight == height ? layer.kernelHeight / 2 : 0;
    const int left = layer.kernelWidth / 2;
    const int wide = width + 2 * left;
    Picture around = Picture::Zero(in.rows(), static_cast<Eigen::Index>(height + 2 * up) * wide);
    for (int y = 0; y < height; ++y)
        around.middleCols((y + up) * wide + left, width) = in.middleCols(y * width, width);
    const Eigen::Index run = in.rows() * layer.kernelWidth;
    columns.resize(run * layer.kernelHeight, static_cast<Eigen::Index>(outHeight) * width);
    for (int y = 0; y < outHeight; ++y)
        for (int x = 0; x < width; ++x) {
            float* to = columns.col(y * width + x).data();
            for (int ky = 0; ky < layer.kernelHeight; ++ky, to += run)
                std::memcpy(to, around.col((y + ky) * wide + x).data(), static_cast<std::size_t>(run) * sizeof(float));
        }
}

Picture pooled(const Layer& layer, const Picture& in, int height, int width) {
    Picture out(layer.out, static_cast<Eigen::Index>(height / layer.poolHeight) * (width / layer.poolWidth));
    Eigen::Index to = 0;
    for (int y = 0; y + layer.poolHeight <= height; y += layer.poolHeight)
        for (int x = 0; x + layer.poolWidth <= width; x += layer.poolWidth, ++to) {
            out.col(to) = in.col(y * width + x);
            for (int py = 0; py < layer.poolHeight; ++py)
                for (int px = 0; px < layer.poolWidth; ++px)
                    out.col(to) = out.col(to).cwiseMax(in.col((y + py) * width + x + px));
        }
    return out;
}

} // namespace

struct GlyphNetwork::Weights {
    struct OfLayer {
        Eigen::MatrixXf weight;
        Eigen::VectorXf bias;
    };
    std::array<OfLayer, kLayers.size()> layers;
};

GlyphNetwork::GlyphNetwork(std::unique_ptr<Weights> weights) : m_weights(std::move(weights)) {}
GlyphNetwork::GlyphNetwork(GlyphNetwork&&) noexcept = default;
GlyphNetwork& GlyphNetwork::operator=(GlyphNetwork&&) noexcept = default;
GlyphNetwork::~GlyphNetwork() = default;

Result<GlyphNetwork> GlyphNetwork::fromBytes(std::span<const std::uint8_t> bytes) {
    constexpr std::size_t count = network::numbersOf(kLayers);
    if (bytes.size() != kHead + 2 * count || std::memcmp(bytes.data(), kMagic.data(), kMagic.size()) != 0 ||
        numberAt(bytes, 8) != kVersion || numberAt(bytes, 12) != count)
        return fail(Code::BadInput, "glyphs.network");
    auto weights = std::make_unique<Weights>();
    std::size_t at = kHead;
    bool isFinite = true;
    const auto take = [&] {
        const auto half = static_cast<std::uint16_t>(bytes[at] | bytes[at + 1] << 8);
        at += 2;
        const float value = Eigen::half_impl::half_to_float(Eigen::half_impl::raw_uint16_to_half(half));
        isFinite = isFinite && std::isfinite(value);
        return value;
    };
    for (std::size_t i = 0; i < kLayers.size(); ++i) {
        const auto& layer = kLayers[i];
        auto& of = weights->layers[i];
        of.weight.resize(layer.out, layer.in * layer.kernelHeight * layer.kernelWidth);
        of.bias.resize(layer.out);
        for (Eigen::Index k = 0; k < of.weight.size(); ++k)
            of.weight.data()[k] = take();
        for (float& bias : of.bias)
            bias = take();
    }
    if (!isFinite)
        return fail(Code::BadInput, "glyphs.network");
    return GlyphNetwork(std::move(weights));
}

const GlyphNetwork& GlyphNetwork::own() {
    static const GlyphNetwork network = [] {
        auto read = fromBytes({discal_glyph_weights, discal_glyph_weights_end});
        if (!read)
            std::abort(); // the file in the tree has another shape than this program: a test tells
        return std::move(*read);
    }();
    return network;
}

tag::GlyphColumns GlyphNetwork::read(const Strip& strip) const {
    if (strip.width < network::kColumn ||
        strip.ink.size() != static_cast<std::size_t>(strip.width) * static_cast<std::size_t>(kStripHeight))
        return {};
    Picture at = Eigen::Map<const Picture>(strip.ink.data(), 1, static_cast<Eigen::Index>(strip.ink.size()));
    Picture columns;
    int height = kStripHeight;
    int width = strip.width;
    for (std::size_t i = 0; i < kLayers.size(); ++i) {
        const auto& layer = kLayers[i];
        const bool isFlattening = layer.kernelHeight == height && height > 1;
        const int outHeight = isFlattening ? 1 : height;
        unfold(layer, at, height, width, outHeight, columns);
        Picture out(layer.out, columns.cols());
        out.noalias() = m_weights->layers[i].weight * columns;
        out.colwise() += m_weights->layers[i].bias;
        if (i + 1 < kLayers.size())
            out = out.cwiseMax(0.0F);
        height = outHeight;
        if (layer.poolHeight * layer.poolWidth > 1) {
            at = pooled(layer, out, height, width);
            height /= layer.poolHeight;
            width /= layer.poolWidth;
        } else {
            at = std::move(out);
        }
    }
    tag::GlyphColumns read(static_cast<std::size_t>(width));
    for (int x = 0; x < width; ++x) {
        const float most = at.col(x).maxCoeff();
        const float all = most + std::log((at.col(x).array() - most).exp().sum());
        for (int glyph = 0; glyph < 37; ++glyph)
            read[static_cast<std::size_t>(x)][static_cast<std::size_t>(glyph)] = at(glyph, x) - all;
    }
    return read;
}

} // namespace discal::reading
