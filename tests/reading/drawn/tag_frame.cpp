#include "reading/drawn/tag_frame.h"

#include "core/tag/scheme.h"
#include "reading/drawn/background.h"
#include "reading/drawn/camera.h"
#include "reading/drawn/code_list.h"
#include "reading/drawn/finger.h"
#include "reading/drawn/print.h"
#include "reading/drawn/round_things.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace discal::drawn {

namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kDegree = kTurn / 360;

/// What chance is drawn for, so that each has its own.
enum Purpose : std::uint64_t {
    kCode = 1,
    kPrint,
    kScene,
    kBehind,
    kShake,
    kGrain,
    kSheet,
    kThings,
    kFinger,
    kHinder,
};

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
    Range jpeg;
    double glareShare; ///< of frames
    double fingerShare;
    double thingsShare;
};

const Limits& limitsOf(Tier tier) {
    static const Limits clean{{260, 420}, {0, 8}, {0, 0.5}, {0, 0}, {0.002, 0.006}, {0, 0}, {85, 95}, 0, 0, 0.05};
    static const Limits field{{200, 420},   {0, 18},  {0, 1.8}, {0, 4}, {0.003, 0.012},
                              {0.05, 0.45}, {65, 95}, 0.35,     0.25,   0.12};
    static const Limits hard{{160, 320}, {5, 25},  {1, 2.8}, {0, 7}, {0.008, 0.028},
                             {0.2, 1.3}, {50, 90}, 0.5,      0.2,    0.12};
    switch (tier) {
    case Tier::Clean:
        return clean;
    case Tier::Field:
        return field;
    case Tier::Hard:
        break;
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
    double castDepth{0.5};
    int jpegQuality{0}; ///< 0: not compressed
    bool hasFinger{false};
    int things{0}; ///< round things beside the tag
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
    scene.castDepth = chance.between(0.25, 0.65);
    scene.jpegQuality = chance.happens(0.4) ? static_cast<int>(limits.jpeg.pick(chance)) : 0;
    scene.hasFinger = chance.happens(limits.fingerShare);
    scene.things = chance.happens(limits.thingsShare) ? 1 + chance.below(2) : 0;

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
        glare.beside = chance.happens(0.3) ? 1 : chance.between(0, 0.5);
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

bool isApart(const Pose& pose, Point centre, double diameter) {
    return std::hypot(centre.x - pose.centre.x, centre.y - pose.centre.y) > 0.6 * (pose.diameter + diameter);
}

/// Round things where the tag is not; fewer where there is no room for them.
void drawThings(cairo_t* cr, const Scene& scene, int count, Chance chance) {
    std::vector<Pose> taken;
    if (scene.pose.diameter > 0)
        taken.push_back(scene.pose);
    for (int i = 0; i < count; ++i)
        for (int attempt = 0; attempt < 12; ++attempt) {
            Pose pose;
            pose.diameter = chance.between(140, 420);
            pose.centre = {chance.between(0, scene.size.width), chance.between(0, scene.size.height)};
            const bool isFree = std::all_of(taken.begin(), taken.end(), [&](const Pose& other) {
                return isApart(other, pose.centre, pose.diameter);
            });
            if (!isFree)
                continue;
            drawRoundThing(cr, static_cast<RoundThing>(chance.below(kRoundThings)), pose.centre, pose.diameter,
                           Chance(chance.bits()));
            taken.push_back(pose);
            break;
        }
}

/// The picture without the tag.
void drawBehind(Light& picture, const Scene& scene, int things, Chance chance, Chance thingsChance) {
    const double diameter = scene.pose.diameter > 0 ? scene.pose.diameter : 300;
    const Surface surface =
        drawBackground(scene.background, scene.size.width, scene.size.height, diameter / 9, scene.pose.centre, chance);
    const Context context(cairo_create(surface.get()));
    drawThings(context.get(), scene, things, thingsChance);
    lightOf(surface.get(), picture);
}

/// The sheet's other tags: cut off by the picture's edge where they are printed, else taken already, so that one only
/// can be meant.
void layNeighbours(Light& picture, const TagFrame& drawn, TypefaceSet typefaces, Chance print, Chance chance) {
    const double pitch = chance.between(2.15, 2.6);
    const FlatTag taken = takenTag(drawn.diameter, Chance(chance.bits()));
    const auto code = tag::Code::fromText(drawn.code);
    for (int row = -4; row <= 4; ++row)
        for (int column = -4; column <= 4; ++column) {
            const bool isLeft = chance.happens(0.7);
            if (row == 0 && column == 0)
                continue;
            const Homography there = drawn.tagToFrame.movedBy({column * pitch, row * pitch});
            const Point centre = there({0, 0});
            const Point side = there({1, 0});
            const double radius = std::hypot(side.x - centre.x, side.y - centre.y);
            const double inside =
                std::min({centre.x, centre.y, picture.width - centre.x, picture.height - centre.y}) / radius;
            if (inside < -1)
                continue;
            const auto next =
                code ? tag::Scheme::of(*code).next(*code, static_cast<std::uint64_t>(40 + 5 * row + column))
                     : std::nullopt;
            if (isLeft && inside < 0.3 && next)
                layTag(picture, printTag(next->text(), typefaces, drawn.diameter, print), there, {0, 0}, 0);
            else
                layTag(picture, taken, there, {0, 0}, 0);
        }
}

/// A finger whose foremost point is `reach` radii from the disc's centre, on the side where `side` points.
Finger fingerAt(const Homography& tagToFrame, Point side, double reach, Chance& chance) {
    const Point centre = tagToFrame({0, 0});
    const Point tip = tagToFrame({side.x * reach, side.y * reach});
    const Point rim = tagToFrame(side);
    const double radius = std::hypot(rim.x - centre.x, rim.y - centre.y);
    return {tip, std::atan2(centre.y - rim.y, centre.x - rim.x), radius * chance.between(1.3, 1.8), skinTone(chance)};
}

/// Over the rim, not over the code; none where the code leaves no room on that side.
void layFingerOnRim(Light& picture, const FlatTag& tag, const Homography& tagToFrame, Chance chance) {
    const double angle = chance.between(0, kTurn);
    const Point side{std::cos(angle), std::sin(angle)};
    const double nearest = tag.reachTowards(side) + 0.07;
    if (nearest > 0.95)
        return;
    const Finger finger = fingerAt(tagToFrame, side, chance.between(nearest, 0.97), chance);
    layFinger(picture, finger, chance.between(1, 3), chance);
}

/// Over half of the code or more.
void layFingerOnCode(Light& picture, const Homography& tagToFrame, Chance chance) {
    const double angle = chance.between(0, kTurn);
    const Finger finger = fingerAt(tagToFrame, {std::cos(angle), std::sin(angle)}, chance.between(-0.5, -0.1), chance);
    layFinger(picture, finger, chance.between(1, 3), chance);
}

/// So bright a reflection that none of the code is left: beyond full light as far out as the code reaches.
Glare blinding(const Pose& pose, double codeReach, Chance& chance) {
    Glare glare;
    const double reach = codeReach * pose.diameter / 2;
    glare.centre = {pose.centre.x + 0.02 * pose.diameter * chance.normal(),
                    pose.centre.y + 0.02 * pose.diameter * chance.normal()};
    glare.along = reach * chance.between(1.15, 1.4);
    glare.across = reach * chance.between(1.15, 1.4);
    glare.turn = chance.between(0, kTurn);
    glare.strength = chance.between(2.4, 3);
    glare.beside = chance.between(0.02, 0.15);
    return glare;
}

/// Blurs beyond reading: by a share of the capitals' height, in pixels.
void spoil(Exposure& exposure, double capitals, Chance chance) {
    exposure.sigma = capitals * chance.between(0.32, 0.5);
    exposure.motion = capitals * chance.between(0, 0.6);
}

void finish(TagFrame& drawn, Light& picture, const Scene& scene, Chance chance) {
    blur(picture, scene.exposure.sigma, scene.exposure.motion, scene.exposure.motionTurn);
    drawn.frame = expose(picture, scene.exposure, chance);
    if (scene.jpegQuality > 0)
        compress(drawn.frame, scene.jpegQuality);
}

} // namespace

std::string_view tierName(Tier tier) {
    switch (tier) {
    case Tier::Clean:
        return "clean";
    case Tier::Field:
        return "field";
    case Tier::Hard:
        break;
    }
    return "hard";
}

std::string_view reasonName(services::Refusal reason) {
    switch (reason) {
    case services::Refusal::NoTag:
        return "no-tag";
    case services::Refusal::TooFar:
        return "too-far";
    case services::Refusal::Blurred:
        return "blurred";
    case services::Refusal::Glare:
        return "glare";
    case services::Refusal::Covered:
        return "covered";
    case services::Refusal::Unsure:
        break;
    }
    return "unsure";
}

TagFrame drawFrame(std::uint64_t seed, const Options& options) {
    using services::Refusal;
    const std::uint64_t own = Chance::of(seed, 1000 + static_cast<std::uint64_t>(options.tier)).bits();
    const auto burst = static_cast<std::uint64_t>(options.burst);
    const auto of = [&](Purpose purpose) { return Chance::of(own, purpose); };
    const auto ofThisFrame = [&](Purpose purpose) { return Chance::of(own, purpose + 16 * (burst + 1)); };
    const bool hasTag = options.refusal != Refusal::NoTag;

    Limits limits = limitsOf(options.tier);
    if (options.refusal == Refusal::TooFar)
        limits.diameter = {60, 110};
    Scene scene = sceneOf(limits, of(kScene));
    if (options.burst > 0)
        shake(scene, limits, ofThisFrame(kShake));

    // Kept from frame to frame: 15 MB of fresh memory would take longer than what is done with it.
    thread_local Light picture;
    TagFrame drawn;
    drawn.tier = options.tier;
    drawn.refusal = options.refusal;
    if (!hasTag) {
        scene.pose.diameter = 0;
        drawBehind(picture, scene, of(kThings).happens(0.2) ? 0 : 1 + of(kThings).below(3), of(kBehind), of(kThings));
        finish(drawn, picture, scene, ofThisFrame(kGrain));
        return drawn;
    }

    Chance codeChance = of(kCode);
    drawn.code = options.code.empty() ? anyCode(codeChance) : options.code;
    const FlatTag tag = printTag(drawn.code, options.typefaces, scene.pose.diameter, of(kPrint));
    drawn.tagToFrame = seen(scene.pose, scene.size.width, scene.size.height);
    drawn.centre = drawn.tagToFrame({0, 0});
    drawn.diameter = scene.pose.diameter;
    drawn.tiltDegrees = scene.pose.tilt / kDegree;
    drawn.turnDegrees = std::fmod(scene.pose.turn / kDegree + 720, 360);
    drawn.capitals = tag.capitals;
    drawn.codeReach = tag.codeReach;
    drawn.printReach = tag.printReach;
    drawn.typeface = tag.typeface;

    if (options.refusal == Refusal::Glare) {
        Chance chance = ofThisFrame(kHinder);
        scene.exposure.glares = {blinding(scene.pose, tag.codeReach, chance)};
    }
    if (options.refusal == Refusal::Blurred)
        spoil(scene.exposure, tag.capitals * scene.pose.diameter, ofThisFrame(kHinder));

    drawBehind(picture, scene, scene.things, of(kBehind), of(kThings));
    const bool isOnSheet = scene.background == Background::Sheet;
    if (isOnSheet)
        layNeighbours(picture, drawn, options.typefaces, of(kPrint), of(kSheet));
    layTag(picture, tag, drawn.tagToFrame, scene.cast, isOnSheet ? 0.3 : scene.castDepth);
    layGlares(picture, drawn.tagToFrame, scene.exposure);
    if (options.refusal == Refusal::Covered)
        layFingerOnCode(picture, drawn.tagToFrame, of(kFinger));
    else if (scene.hasFinger)
        layFingerOnRim(picture, tag, drawn.tagToFrame, of(kFinger));
    finish(drawn, picture, scene, ofThisFrame(kGrain));

    return drawn;
}

} // namespace discal::drawn
