#pragma once

#include "reading/glyph_network_shape.h"
#include "reading/strip.h"

#include <Eigen/Dense>
#include <array>
#include <string>
#include <vector>

/// The network while it learns. The program that reads tags has a forward pass of its own (src/reading/glyph_network.h).
namespace discal::training {

/// A column a pixel, rows top first; a row a channel.
using Picture = Eigen::MatrixXf;

struct Weights {
    Eigen::MatrixXf weight; ///< out x (kernel pixels x in)
    Eigen::VectorXf bias;
};

using Network = std::array<Weights, reading::network::kLayers.size()>;

[[nodiscard]] Network zeros();

/// What a forward pass leaves for the way back.
struct Trace {
    struct Step {
        Picture columns; ///< each pixel's kernel, unfolded
        Picture out;     ///< after the convolution, negative ones made 0
        std::vector<Eigen::Index> kept; ///< of each pooled number, where it came from in `out`
        int height{0};
        int width{0};
        int inHeight{0};
        int inWidth{0};
    };
    std::array<Step, reading::network::kLayers.size()> steps;
    Picture logProbabilities; ///< 37 x columns
};

void forward(const Network& network, const reading::Strip& strip, Trace& trace);
/// Adds to `gradient` what the loss's slope after the last layer means for each weight.
void backward(const Network& network, Trace& trace, const Picture& slope, Network& gradient);

/// Minus the log probability that the columns spell `text`, over all ways of stretching it with "between" columns (Graves
/// and others 2006, doi:10.1145/1143844.1143891), and its slope against the scores before the softmax. Infinite, with a
/// slope of 0, where the text is too long for the columns.
[[nodiscard]] double spellingLoss(const Picture& logProbabilities, const std::string& text, Picture& slope);

/// Of each column that has a label (0 to 36; -1 has none) minus its log probability, and the slope.
[[nodiscard]] double columnLoss(const Picture& logProbabilities, const std::vector<int>& labels, Picture& slope);

/// Adam (Kingma and Ba 2015, arXiv:1412.6980) with its usual constants.
class Adam {
public:
    explicit Adam(const Network& network);
    void step(Network& network, const Network& gradient, float rate);

private:
    Network m_mean;
    Network m_square;
    int m_steps{0};
};

} // namespace discal::training
