// Teaches the network that reads tags, and writes its weights: see README.md.
//
//   train_glyphs FONTS.txt OUT [STEPS]      the weights
//   train_glyphs FONTS.txt --look OUT.pgm   some strips to learn from, to look at

#include "layers.h"
#include "training_strips.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstring>
#include <fstream>
#include <iostream>
#include <thread>

using namespace discal;
using training::Example;
using training::Network;
using training::StripMaker;

namespace {

constexpr int kThreads = 2;
constexpr int kBatch = 32;
constexpr int kSteps = 8000;
constexpr double kByColumns = 0.2; ///< of the steps, the first, learn column by column; the others learn to spell
constexpr float kRate = 2e-3F;
constexpr std::uint64_t kSeed = 0x7115'7ea5; ///< of everything drawn by chance
constexpr std::uint64_t kCheckSeed = 0xc0ffee;
constexpr int kChecked = 1000;

std::vector<std::string> fontsIn(const std::string& path) {
    std::ifstream file(path);
    std::vector<std::string> fonts;
    for (std::string line; std::getline(file, line);)
        if (!line.empty() && line.front() != '#')
            fonts.push_back("/usr/share/fonts/" + line);
    return fonts;
}

Network beginning() {
    auto network = training::zeros();
    training::Dice dice(kSeed);
    for (auto& layer : network) {
        const double spread = std::sqrt(2.0 / static_cast<double>(layer.weight.cols())); // He and others 2015
        for (Eigen::Index i = 0; i < layer.weight.size(); ++i)
            layer.weight.data()[i] = static_cast<float>(dice.normal() * spread);
    }
    return network;
}

std::string spelled(const training::Picture& logProbabilities) {
    std::string text;
    Eigen::Index before = reading::network::kBetween;
    for (Eigen::Index x = 0; x < logProbabilities.cols(); ++x) {
        Eigen::Index best = 0;
        logProbabilities.col(x).maxCoeff(&best);
        if (best != before && best != reading::network::kBetween)
            text += reading::network::kGlyphs[best];
        before = best;
    }
    return text;
}

struct Worker {
    StripMaker maker;
    training::Trace trace;
    Network gradient = training::zeros();
    double loss = 0;

    void learn(const Network& network, std::uint64_t seed, bool isByColumns) {
        const auto example = maker.make(seed);
        training::forward(network, example.strip, trace);
        training::Picture slope;
        const double one = isByColumns ? training::columnLoss(trace.logProbabilities, example.labels, slope)
                                       : training::spellingLoss(trace.logProbabilities, example.text, slope);
        if (!std::isfinite(one))
            return;
        loss += one;
        training::backward(network, trace, slope, gradient);
    }
};

/// The share of strips never learnt from that are spelt without a fault.
double check(const Network& network, StripMaker& maker) {
    training::Trace trace;
    int right = 0;
    for (std::uint64_t i = 0; i < kChecked; ++i) {
        const auto example = maker.make(kCheckSeed + i);
        training::forward(network, example.strip, trace);
        right += spelled(trace.logProbabilities) == example.text ? 1 : 0;
    }
    return static_cast<double>(right) / kChecked;
}

void write(const Network& network, const std::string& path) {
    std::ofstream file(path, std::ios::binary);
    const auto count = static_cast<std::uint32_t>(reading::network::numbersOf(reading::network::kLayers));
    const std::uint32_t version = 1;
    file.write("DISCALGN", 8);
    file.write(reinterpret_cast<const char*>(&version), 4);
    file.write(reinterpret_cast<const char*>(&count), 4);
    const auto put = [&](float value) {
        const Eigen::half half(value);
        file.write(reinterpret_cast<const char*>(&half), 2);
    };
    for (const auto& layer : network) {
        for (Eigen::Index i = 0; i < layer.weight.size(); ++i) // column by column: all outputs of one kernel number
            put(layer.weight.data()[i]);
        for (const float bias : layer.bias)
            put(bias);
    }
}

void look(StripMaker& maker, const std::string& path) {
    constexpr int kRows = 40;
    constexpr int kAcross = 1200;
    std::vector<unsigned char> sheet(static_cast<std::size_t>(kRows * (reading::kStripHeight + 4) * kAcross), 128);
    std::uint64_t seed = kSeed;
    for (int row = 0; row < kRows; ++row)
        for (int left = 4;;) {
            const auto example = maker.make(seed++);
            if (left + example.strip.width > kAcross)
                break;
            for (int y = 0; y < reading::kStripHeight; ++y)
                for (int x = 0; x < example.strip.width; ++x)
                    sheet[static_cast<std::size_t>((row * (reading::kStripHeight + 4) + y) * kAcross + left + x)] =
                        static_cast<unsigned char>(
                            255 - 255 * example.strip.ink[static_cast<std::size_t>(y * example.strip.width + x)]);
            left += example.strip.width + 8;
        }
    std::ofstream file(path, std::ios::binary);
    file << "P5\n" << kAcross << ' ' << kRows * (reading::kStripHeight + 4) << "\n255\n";
    file.write(reinterpret_cast<const char*>(sheet.data()), static_cast<std::streamsize>(sheet.size()));
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        std::cerr << "train_glyphs FONTS.txt OUT [STEPS] | FONTS.txt --look OUT.pgm\n";
        return 2;
    }
    Eigen::setCpuCacheSizes(32768, 262144, 2097152); // the order of sums depends on them: the same on every machine
    const auto fonts = fontsIn(argv[1]);
    if (std::strcmp(argv[2], "--look") == 0) {
        StripMaker maker(fonts);
        look(maker, argv[3]);
        return 0;
    }
    const int steps = argc > 3 ? std::atoi(argv[3]) : kSteps;
    auto network = beginning();
    training::Adam adam(network);
    std::vector<Worker> workers;
    for (int i = 0; i < kThreads; ++i)
        workers.push_back({StripMaker(fonts), {}, training::zeros(), 0});
    double loss = 0;
    const auto began = std::chrono::steady_clock::now();
    for (int step = 0; step < steps; ++step) {
        const bool isByColumns = step < kByColumns * steps;
        std::vector<std::thread> threads;
        for (int w = 0; w < kThreads; ++w)
            threads.emplace_back([&, w] {
                auto& worker = workers[static_cast<std::size_t>(w)];
                worker.gradient = training::zeros();
                for (int i = w; i < kBatch; i += kThreads)
                    worker.learn(network, kSeed + static_cast<std::uint64_t>(step) * kBatch + static_cast<std::uint64_t>(i),
                                 isByColumns);
            });
        for (auto& thread : threads)
            thread.join();
        auto gradient = training::zeros();
        for (auto& worker : workers) {
            for (std::size_t i = 0; i < gradient.size(); ++i) {
                gradient[i].weight += worker.gradient[i].weight / kBatch;
                gradient[i].bias += worker.gradient[i].bias / kBatch;
            }
            loss += worker.loss / kBatch;
            worker.loss = 0;
        }
        double size = 0;
        for (const auto& layer : gradient)
            size += static_cast<double>(layer.weight.squaredNorm() + layer.bias.squaredNorm());
        const float most = isByColumns ? 10.0F : 5.0F; // against single wild steps
        const auto shrink = static_cast<float>(std::min(1.0, most / std::sqrt(size)));
        for (auto& layer : gradient) {
            layer.weight *= shrink;
            layer.bias *= shrink;
        }
        const float warm = std::min(1.0F, static_cast<float>(step + 1) / 200);
        const float cool = 0.5F * (1 + std::cos(3.14159265F * static_cast<float>(step) / static_cast<float>(steps)));
        adam.step(network, gradient, kRate * warm * (0.01F + 0.99F * cool));
        if ((step + 1) % 250 == 0 || step + 1 == steps) {
            const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
            std::cout << step + 1 << " steps, " << static_cast<int>(seconds) << " s, loss " << loss / 250;
            if ((step + 1) % 1000 == 0 || step + 1 == steps)
                std::cout << ", spelt right " << check(network, workers[0].maker);
            std::cout << std::endl;
            loss = 0;
            if ((step + 1) % 1000 == 0)
                write(network, argv[2]);
        }
    }
    write(network, argv[2]);
}
