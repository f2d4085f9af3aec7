#include "reading/drawn/tag_frame.h"

#include "reading/drawn/background.h"
#include "reading/drawn/camera.h"
#include "reading/drawn/print.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace discal::drawn {

namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kDegree = kTurn / 360;

/// What chance is drawn for, so that each has its own.
enum Purpose : std::uint64_t { kCode = 1, kPrint, kScene, kBehind, kShake, kGrain };

struct Range {
    double low;
    double high;
    [[nodiscard]] double pick(Chance& chance) const { return chance.between(low, high); }
    /// Near a value of the range, still in it.
    [[nodiscard]] double near(double value, double share, Chance& chance) const {
        return std::clamp(value + (high - low) * share * chance.between(-1, 1), low, high);
    }
};

struct Limits {
    Range diameter;
    Range tilt; ///< degrees
    Range sigma;
    Range motion;
    Range noise;
    Range glare;
    double glareShare; ///< of frames
};

const Limits& limitsOf(Tier tier) {
    static const Limits clean{{260, 420}, {0, 8}, {0, 0.5}, {0, 0}, {0.002, 0.006}, {0, 0}, 0};
    static const Limits field{{200, 420}, {0, 18}, {0, 1.8}, {0, 4}, {0.003, 0.012}, {0.05, 0.45}, 0.35};
    static const Limits hard{{160, 320}, {5, 25}, {1, 2.8}, {0, 7}, {0.006, 0.022}, {0.2, 1.1}, 0.5};
    switch (tier) {
    case Tier::Clean: return clean;
    case Tier::Field: return field;
    case Tier::Hard: break;
    }
    return hard;
}

struct Size {
    int width;
    int height;
};
constexpr Size kSizes[] = {{1280, 960}, {1080, 1440}, {1280, 720}, {960, 1280}, {1024, 1024}};

/// All of a frame but the print.
struct Scene {
    Size size{};
    Background background{};
    Pose pose;
    Exposure exposure;
    Point cast; ///< where the disc's own shadow falls, in radii
};

Scene sceneOf(const Limits& limits, Chance chance) {
    Scene scene;
    scene.size = kSizes[chance.below(std::size(kSizes))];
    scene.background = static_cast<Background>(chance.below(kBackgrounds));
    Pose& pose = scene.pose;
    pose.diameter = limits.diameter.pick(chance);
    const double room = pose.diameter * 0.56 + 8;
    pose.centre = {chance.between(room, scene.size.width - room), chance.between(room, scene.size.height - room)};
    pose.turn = chance.between(0, kTurn);
    pose.tilt = limits.tilt.pick(chance) * kDegree;
    pose.tiltAxis = chance.between(0, kTurn);
    const double angle = chance.between(0, kTurn);
    const double offset = chance.between(0.01, 0.05);
    scene.cast = {offset * std::cos(angle), offset * std::sin(angle)};

    Exposure& e = scene.exposure;
    e.brightness = chance.between(0.38, 0.95);
    const double warm = chance.between(-1, 1);
    const double green = chance.between(-1, 1);
    e.cast = {1 + 0.12 * warm, 1 + 0.04 * green, 1 - 0.16 * warm};
    e.slope = {chance.between(-0.25, 0.25), chance.between(-0.25, 0.25)};
    e.vignette = chance.between(0, 0.25);
    if (chance.happens(0.35)) {
        const double far = pose.diameter * chance.between(-0.6, 0.6);
        Shadow shadow;
        shadow.turn = chance.between(0, kTurn);
        shadow.at = {pose.centre.x + far * std::cos(shadow.turn), pose.centre.y + far * std::sin(shadow.turn)};
        shadow.softness = chance.between(10, 90);
        shadow.depth = chance.between(0.2, 0.6);
        e.shadows.push_back(shadow);
    }
    if (chance.happens(limits.glareShare)) {
        Glare glare;
        const double out = chance.between(0.1, 0.55) * pose.diameter;
        const double way = chance.between(0, kTurn);
        glare.centre = {pose.centre.x + out * std::cos(way), pose.centre.y + out * std::sin(way)};
        glare.along = pose.diameter * chance.between(0.15, 0.5);
        glare.across = glare.along * chance.between(0.2, 0.6);
        glare.turn = chance.between(0, kTurn);
        glare.strength = limits.glare.pick(chance);
        e.glares.push_back(glare);
    }
    e.sigma = limits.sigma.pick(chance);
    e.motion = limits.motion.pick(chance);
    e.motionTurn = chance.between(0, kTurn);
    e.noise = limits.noise.pick(chance);
    e.shotNoise = e.noise * chance.between(1.0, 2.0);
    return scene;
}

/// The hand shakes: pose, light and blur change a little from frame to frame, within the tier's limits.
void shake(Scene& scene, const Limits& limits, Chance chance) {
    Pose& pose = scene.pose;
    const double room = pose.diameter * 0.56 + 8;
    pose.centre.x = std::clamp(pose.centre.x + 0.08 * pose.diameter * chance.normal(), room, scene.size.width - room);
    pose.centre.y = std::clamp(pose.centre.y + 0.08 * pose.diameter * chance.normal(), room, scene.size.height - room);
    pose.diameter = limits.diameter.near(pose.diameter, 0.05, chance);
    pose.turn += 3 * kDegree * chance.normal();
    pose.tilt = limits.tilt.near(pose.tilt / kDegree, 0.12, chance) * kDegree;
    pose.tiltAxis += 0.15 * chance.normal();
    Exposure& e = scene.exposure;
    e.brightness *= chance.between(0.93, 1.07);
    for (Glare& glare : e.glares) {
        glare.centre.x += 0.12 * pose.diameter * chance.normal();
        glare.centre.y += 0.12 * pose.diameter * chance.normal();
        glare.strength = limits.glare.near(glare.strength, 0.15, chance);
    }
    e.sigma = limits.sigma.near(e.sigma, 0.25, chance);
    e.motion = limits.motion.near(e.motion, 0.35, chance);
    e.motionTurn += 0.5 * chance.normal();
}

} // namespace

std::string_view tierName(Tier tier) {
    switch (tier) {
    case Tier::Clean: return "clean";
    case Tier::Field: return "field";
    case Tier::Hard: break;
    }
    return "hard";
}

std::string codeFor(std::uint64_t seed) {
    Chance chance = Chance::of(seed, kCode);
    int letters = 2 + chance.below(3);
    int digits = 3 + chance.below(2);
    if (chance.happens(0.12)) { // the rarer schemes
        letters = chance.below(7);
        digits = 1 + chance.below(9);
        while (letters + digits < 3)
            ++digits;
    }
    std::string code;
    for (int i = 0; i < letters; ++i)
        code += static_cast<char>('A' + chance.below(26));
    if (letters > 0)
        code += ' ';
    for (int i = 0; i < digits; ++i)
        code += static_cast<char>('0' + chance.below(10));
    return code;
}

TagFrame drawFrame(std::uint64_t seed, const Options& options) {
    TagFrame drawn;
    drawn.code = options.code.empty() ? codeFor(seed) : options.code;
    drawn.tier = options.tier;
    const FlatTag tag = printTag(drawn.code, options.typefaces, Chance::of(seed, kPrint));
    const Limits& limits = limitsOf(options.tier);
    Scene scene = sceneOf(limits, Chance::of(seed, kScene));
    const auto burst = static_cast<std::uint64_t>(options.burst);
    if (options.burst > 0)
        shake(scene, limits, Chance::of(seed, kShake + 16 * burst));

    Light picture = drawBackground(scene.background, scene.size.width, scene.size.height, scene.pose.diameter / 9,
                                   Chance::of(seed, kBehind));
    drawn.tagToFrame = seen(scene.pose, picture.width, picture.height);
    layTag(picture, tag, drawn.tagToFrame, scene.cast);
    blur(picture, scene.exposure.sigma, scene.exposure.motion, scene.exposure.motionTurn);
    drawn.frame = expose(picture, scene.exposure, Chance::of(seed, kGrain + 16 * burst));

    drawn.centre = drawn.tagToFrame({0, 0});
    drawn.diameter = scene.pose.diameter;
    drawn.tiltDegrees = scene.pose.tilt / kDegree;
    drawn.turnDegrees = std::fmod(scene.pose.turn / kDegree + 360, 360);
    drawn.capitals = tag.capitals;
    drawn.codeReach = tag.codeReach;
    drawn.printReach = tag.printReach;
    drawn.typeface = tag.typeface;
    return drawn;
}

} // namespace discal::drawn
