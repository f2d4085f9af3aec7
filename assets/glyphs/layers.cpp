#include "layers.h"

#include <cmath>
#include <cstring>
#include <limits>

namespace discal::training {

using reading::network::kBetween;
using reading::network::kGlyphs;
using reading::network::kLayers;
using reading::network::Layer;

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

bool isFlattening(const Layer& layer, int height) { return layer.kernelHeight == height && height > 1; }

/// `in` with the pixels around it that the kernel reaches: 0.
Picture padded(const Picture& in, int height, int width, int up, int left) {
    const int wide = width + 2 * left;
    Picture out(in.rows(), (height + 2 * up) * wide);
    out.leftCols(up * wide).setZero();
    out.rightCols(up * wide).setZero();
    for (int y = 0; y < height; ++y) {
        auto row = out.middleCols((y + up) * wide, wide);
        row.leftCols(left).setZero();
        row.middleCols(left, width) = in.middleCols(y * width, width);
        row.rightCols(left).setZero();
    }
    return out;
}

void unfold(const Layer& layer, const Picture& in, int height, int width, Trace::Step& step) {
    const int outHeight = isFlattening(layer, height) ? 1 : height;
    const int up = outHeight == 1 ? 0 : layer.kernelHeight / 2;
    const int left = layer.kernelWidth / 2;
    const Picture around = padded(in, height, width, up, left);
    const int wide = width + 2 * left;
    const Eigen::Index run = in.rows() * layer.kernelWidth; // of a kernel's row, one number behind the other
    step.columns.resize(run * layer.kernelHeight, outHeight * width);
    for (int y = 0; y < outHeight; ++y)
        for (int x = 0; x < width; ++x) {
            float* to = step.columns.col(y * width + x).data();
            for (int ky = 0; ky < layer.kernelHeight; ++ky, to += run)
                std::memcpy(to, around.col((y + ky) * wide + x).data(), static_cast<std::size_t>(run) * sizeof(float));
        }
    step.height = outHeight;
    step.width = width;
    step.inHeight = height;
    step.inWidth = width;
}

Picture fold(const Layer& layer, const Picture& columns, const Trace::Step& step) {
    const int up = step.height == 1 && step.inHeight > 1 ? 0 : layer.kernelHeight / 2;
    const int left = layer.kernelWidth / 2;
    const int wide = step.inWidth + 2 * left;
    const Eigen::Index run = static_cast<Eigen::Index>(layer.in) * layer.kernelWidth;
    Picture around = Picture::Zero(layer.in, (step.inHeight + 2 * up) * wide);
    for (int y = 0; y < step.height; ++y)
        for (int x = 0; x < step.width; ++x) {
            const float* from = columns.col(y * step.width + x).data();
            for (int ky = 0; ky < layer.kernelHeight; ++ky, from += run) {
                float* to = around.col((y + ky) * wide + x).data();
                for (Eigen::Index i = 0; i < run; ++i)
                    to[i] += from[i];
            }
        }
    Picture in(layer.in, step.inHeight * step.inWidth);
    for (int y = 0; y < step.inHeight; ++y)
        in.middleCols(y * step.inWidth, step.inWidth) = around.middleCols((y + up) * wide + left, step.inWidth);
    return in;
}

Picture pool(const Layer& layer, Trace::Step& step) {
    const int height = step.height / layer.poolHeight;
    const int width = step.width / layer.poolWidth;
    Picture pooled(layer.out, height * width);
    step.kept.resize(static_cast<std::size_t>(pooled.size()));
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x)
            for (int c = 0; c < layer.out; ++c) {
                float best = -1;
                Eigen::Index where = 0;
                for (int py = 0; py < layer.poolHeight; ++py)
                    for (int px = 0; px < layer.poolWidth; ++px) {
                        const Eigen::Index pixel =
                            (y * layer.poolHeight + py) * step.width + x * layer.poolWidth + px;
                        if (step.out(c, pixel) > best) {
                            best = step.out(c, pixel);
                            where = pixel;
                        }
                    }
                pooled(c, y * width + x) = best;
                step.kept[static_cast<std::size_t>((y * width + x) * layer.out + c)] = where;
            }
    return pooled;
}

double logSum(double a, double b) {
    if (a < b)
        std::swap(a, b);
    return b == kNever ? a : a + std::log1p(std::exp(b - a));
}

int glyphIndex(char glyph) { return static_cast<int>(std::strchr(kGlyphs, glyph) - kGlyphs); }

} // namespace

Network zeros() {
    Network network;
    for (std::size_t i = 0; i < kLayers.size(); ++i) {
        const auto& layer = kLayers[i];
        network[i].weight = Eigen::MatrixXf::Zero(layer.out, layer.in * layer.kernelHeight * layer.kernelWidth);
        network[i].bias = Eigen::VectorXf::Zero(layer.out);
    }
    return network;
}

void forward(const Network& network, const reading::Strip& strip, Trace& trace) {
    Picture in = Eigen::Map<const Picture>(strip.ink.data(), 1, static_cast<Eigen::Index>(strip.ink.size()));
    int height = reading::kStripHeight;
    int width = strip.width;
    for (std::size_t i = 0; i < kLayers.size(); ++i) {
        const auto& layer = kLayers[i];
        auto& step = trace.steps[i];
        unfold(layer, in, height, width, step);
        step.out.noalias() = network[i].weight * step.columns;
        step.out.colwise() += network[i].bias;
        const bool isLast = i + 1 == kLayers.size();
        if (!isLast)
            step.out = step.out.cwiseMax(0.0F);
        height = step.height / layer.poolHeight;
        width = step.width / layer.poolWidth;
        if (layer.poolHeight * layer.poolWidth > 1)
            in = pool(layer, step);
        else
            in = step.out;
    }
    trace.logProbabilities = in;
    for (Eigen::Index x = 0; x < in.cols(); ++x) {
        const float most = in.col(x).maxCoeff();
        trace.logProbabilities.col(x).array() -= most + std::log((in.col(x).array() - most).exp().sum());
    }
}

void backward(const Network& network, Trace& trace, const Picture& slope, Network& gradient) {
    Picture at = slope;
    for (std::size_t i = kLayers.size(); i-- > 0;) {
        const auto& layer = kLayers[i];
        auto& step = trace.steps[i];
        if (layer.poolHeight * layer.poolWidth > 1) {
            Picture wide = Picture::Zero(layer.out, step.height * step.width);
            for (Eigen::Index pixel = 0; pixel < at.cols(); ++pixel)
                for (int c = 0; c < layer.out; ++c)
                    wide(c, step.kept[static_cast<std::size_t>(pixel * layer.out + c)]) += at(c, pixel);
            at = std::move(wide);
        }
        if (i + 1 != kLayers.size())
            at = (step.out.array() > 0).select(at, 0.0F);
        gradient[i].weight.noalias() += at * step.columns.transpose();
        gradient[i].bias += at.rowwise().sum();
        if (i > 0) {
            Picture columns;
            columns.noalias() = network[i].weight.transpose() * at;
            at = fold(layer, columns, step);
        }
    }
}

double spellingLoss(const Picture& logProbabilities, const std::string& text, Picture& slope) {
    std::vector<int> symbols{kBetween};
    for (const char glyph : text) {
        symbols.push_back(glyphIndex(glyph));
        symbols.push_back(kBetween);
    }
    const auto states = symbols.size();
    const auto columns = static_cast<std::size_t>(logProbabilities.cols());
    const auto score = [&](std::size_t x, std::size_t s) {
        return static_cast<double>(logProbabilities(symbols[s], static_cast<Eigen::Index>(x)));
    };
    const auto mayLeap = [&](std::size_t s) {
        return s >= 2 && symbols[s] != kBetween && symbols[s] != symbols[s - 2];
    };
    std::vector<std::vector<double>> before(columns, std::vector<double>(states, kNever));
    auto after = before;
    before[0][0] = score(0, 0);
    before[0][1] = score(0, 1);
    for (std::size_t x = 1; x < columns; ++x)
        for (std::size_t s = 0; s < states; ++s) {
            double sum = before[x - 1][s];
            if (s >= 1)
                sum = logSum(sum, before[x - 1][s - 1]);
            if (mayLeap(s))
                sum = logSum(sum, before[x - 1][s - 2]);
            before[x][s] = sum + score(x, s);
        }
    const double whole = logSum(before[columns - 1][states - 1], before[columns - 1][states - 2]);
    slope = Picture::Zero(logProbabilities.rows(), logProbabilities.cols());
    if (whole == kNever)
        return std::numeric_limits<double>::infinity();
    after[columns - 1][states - 1] = 0;
    after[columns - 1][states - 2] = 0;
    for (std::size_t x = columns - 1; x-- > 0;)
        for (std::size_t s = 0; s < states; ++s) {
            double sum = after[x + 1][s] + score(x + 1, s);
            if (s + 1 < states)
                sum = logSum(sum, after[x + 1][s + 1] + score(x + 1, s + 1));
            if (s + 2 < states && mayLeap(s + 2))
                sum = logSum(sum, after[x + 1][s + 2] + score(x + 1, s + 2));
            after[x][s] = sum;
        }
    slope = logProbabilities.array().exp();
    for (std::size_t x = 0; x < columns; ++x)
        for (std::size_t s = 0; s < states; ++s)
            slope(symbols[s], static_cast<Eigen::Index>(x)) -=
                static_cast<float>(std::exp(before[x][s] + after[x][s] - whole));
    return -whole;
}

double columnLoss(const Picture& logProbabilities, const std::vector<int>& labels, Picture& slope) {
    slope = Picture::Zero(logProbabilities.rows(), logProbabilities.cols());
    double loss = 0;
    for (Eigen::Index x = 0; x < logProbabilities.cols(); ++x) {
        const int label = labels[static_cast<std::size_t>(x)];
        if (label < 0)
            continue;
        loss -= static_cast<double>(logProbabilities(label, x));
        slope.col(x) = logProbabilities.col(x).array().exp();
        slope(label, x) -= 1;
    }
    return loss;
}

Adam::Adam(const Network&) : m_mean(zeros()), m_square(zeros()) {}

void Adam::step(Network& network, const Network& gradient, float rate) {
    constexpr float kMean = 0.9F;
    constexpr float kSquare = 0.999F;
    constexpr float kSmall = 1e-8F;
    ++m_steps;
    const float forMean = 1 - std::pow(kMean, static_cast<float>(m_steps));
    const float forSquare = 1 - std::pow(kSquare, static_cast<float>(m_steps));
    const auto apply = [&](auto& value, auto& mean, auto& square, const auto& slope) {
        mean = kMean * mean + (1 - kMean) * slope;
        square = kSquare * square + (1 - kSquare) * slope.cwiseProduct(slope);
        value.array() -= rate * (mean.array() / forMean) / ((square.array() / forSquare).sqrt() + kSmall);
    };
    for (std::size_t i = 0; i < network.size(); ++i) {
        apply(network[i].weight, m_mean[i].weight, m_square[i].weight, gradient[i].weight);
        apply(network[i].bias, m_mean[i].bias, m_square[i].bias, gradient[i].bias);
    }
}

} // namespace discal::training
