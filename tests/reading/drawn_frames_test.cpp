// The renderer itself: frames that the reader is tuned and judged with must show what they say.

#include "core/tag/scheme.h"
#include "reading/drawn/camera.h"
#include "reading/drawn/code_list.h"
#include "reading/drawn/print.h"
#include "reading/drawn/tag_frame.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

using namespace discal;
using namespace discal::drawn;
using services::Refusal;

namespace {

constexpr double kTurn = 2 * std::numbers::pi;

/// Mean of red, green and blue, 0 to 255, between pixels by their nearest; -1 outside.
double greyAt(const services::Frame& frame, Point at) {
    const auto x = static_cast<int>(std::floor(at.x));
    const auto y = static_cast<int>(std::floor(at.y));
    if (x < 0 || y < 0 || x >= frame.width || y >= frame.height)
        return -1;
    const std::size_t i =
        (static_cast<std::size_t>(y) * static_cast<std::size_t>(frame.width) + static_cast<std::size_t>(x)) * 3;
    return (frame.rgb[i] + frame.rgb[i + 1] + frame.rgb[i + 2]) / 3.0;
}

/// Largest step of grey between neighbours along rows, within the disc's box.
double sharpestStep(const TagFrame& drawn) {
    double most = 0;
    const double half = drawn.diameter / 2;
    for (double y = drawn.centre.y - half; y < drawn.centre.y + half; y += 1)
        for (double x = drawn.centre.x - half; x < drawn.centre.x + half; x += 1) {
            // Means over three rows, so that noise isn't taken for an edge.
            double step = 0;
            for (const double row : {-1.0, 0.0, 1.0})
                step += greyAt(drawn.frame, {x + 1, y + row}) - greyAt(drawn.frame, {x, y + row});
            most = std::max(most, std::abs(step) / 3);
        }
    return most;
}

Options optionsOf(Tier tier, std::optional<Refusal> refusal = std::nullopt) {
    Options options;
    options.tier = tier;
    options.refusal = refusal;
    return options;
}

std::size_t differences(const std::string& a, const std::string& b) {
    std::size_t count = 0;
    for (std::size_t i = 0; i < a.size(); ++i)
        count += a[i] != b[i];
    return count;
}

} // namespace

TEST_CASE("The same seed draws the same frame, another seed, tier or typeface another one", "[reading]") {
    for (const Tier tier : {Tier::Clean, Tier::Field, Tier::Hard}) {
        const TagFrame first = drawFrame(1, optionsOf(tier));
        const TagFrame between = drawFrame(2, optionsOf(tier));
        const TagFrame again = drawFrame(1, optionsOf(tier));
        CHECK(first.frame.rgb == again.frame.rgb);
        CHECK(first.code == again.code);
        CHECK(first.frame.rgb.size() == static_cast<std::size_t>(first.frame.width * first.frame.height) * 3);
        CHECK(between.frame.rgb != first.frame.rgb);
    }
    CHECK(drawFrame(1, optionsOf(Tier::Clean)).code != drawFrame(1, optionsOf(Tier::Field)).code);
    Options judging = optionsOf(Tier::Field);
    judging.typefaces = TypefaceSet::Judging;
    CHECK(drawFrame(1, judging).frame.rgb != drawFrame(1, optionsOf(Tier::Field)).frame.rgb);
}

TEST_CASE("Chance is splitmix64", "[reading]") {
    // The first outputs for seed 1234567 as the reference code by Vigna (prng.di.unimi.it/splitmix64.c) is known to
    // give them; quoted from memory of Rosetta Code's task "Pseudo-random numbers/Splitmix64".
    Chance chance(1234567);
    CHECK(chance.bits() == 6457827717110365317U);
    CHECK(chance.bits() == 3203168211198807973U);
    CHECK(chance.bits() == 9817491932198370423U);
    CHECK(chance.bits() == 4593380528125082431U);
    CHECK(chance.bits() == 16408922859458223821U);
}

TEST_CASE("The disc is seen where the frame says", "[reading]") {
    // The steepest step of brightness along rays from the centre is the disc's edge; the truth comes from the
    // homography, the picture through texture, composition, optics and light. In few frames the background is as bright
    // as the paper.
    int found = 0;
    constexpr int kFrames = 20;
    for (std::uint64_t seed = 0; seed < kFrames; ++seed) {
        const TagFrame drawn = drawFrame(seed, optionsOf(Tier::Clean));
        std::vector<double> edges;
        for (int ray = 0; ray < 72; ++ray) {
            const double a = ray * kTurn / 72;
            double most = 0;
            double edge = 0;
            for (double r = 0.96; r < 1.06; r += 0.004) {
                const Point in{(r - 0.008) * std::cos(a), (r - 0.008) * std::sin(a)};
                const Point out{(r + 0.008) * std::cos(a), (r + 0.008) * std::sin(a)};
                const double step =
                    greyAt(drawn.frame, drawn.tagToFrame(in)) - greyAt(drawn.frame, drawn.tagToFrame(out));
                if (step > most) {
                    most = step;
                    edge = r;
                }
            }
            edges.push_back(edge);
        }
        std::nth_element(edges.begin(), edges.begin() + 36, edges.end());
        found += std::abs(edges[36] - 1) < 0.012;
    }
    CHECK(found >= kFrames - 2);
}

TEST_CASE("The disc lies wholly inside the picture, within its tier's limits", "[reading]") {
    struct Case {
        Tier tier;
        double least, most, tilt;
    };
    for (const Case& c :
         {Case{Tier::Clean, 260, 420, 8}, Case{Tier::Field, 200, 420, 18}, Case{Tier::Hard, 160, 320, 25}})
        for (std::uint64_t seed = 100; seed < 108; ++seed) {
            Options options = optionsOf(c.tier);
            options.burst = static_cast<int>(seed % 3);
            const TagFrame drawn = drawFrame(seed, options);
            CAPTURE(seed, tierName(c.tier));
            CHECK(drawn.diameter >= c.least);
            CHECK(drawn.diameter <= c.most);
            CHECK(drawn.tiltDegrees <= c.tilt);
            for (int ray = 0; ray < 36; ++ray)
                CHECK(greyAt(drawn.frame, drawn.tagToFrame({std::cos(ray * kTurn / 36), std::sin(ray * kTurn / 36)})) >=
                      0);
        }
}

TEST_CASE("A disc straight before the camera is a circle, a tilted one as flat as the cosine of its tilt",
          "[reading]") {
    // Pinhole camera, by hand: seen from 100 mm, a radius of 4.5 mm tilted by 20 degrees is 4.5 cos 20 high; its ends
    // are 4.5 sin 20 = 1.54 mm nearer and farther, which makes the half towards the camera 1 / (1 - 0.0154) as large.
    const Pose straight{{640, 480}, 300, 0, 0, 0};
    const Homography h = seen(straight, 1280, 960);
    for (int ray = 0; ray < 12; ++ray) {
        const Point at = h({std::cos(ray * kTurn / 12), std::sin(ray * kTurn / 12)});
        CHECK(std::hypot(at.x - 640, at.y - 480) == Approx(150).epsilon(1e-9));
    }
    const Pose tilted{{640, 480}, 300, 0, 20 * kTurn / 360, 0};
    const Homography t = seen(tilted, 1280, 960);
    CHECK(t({1, 0}).x == Approx(790).epsilon(1e-9)); // the axis keeps its length
    const double up = 480 - t({0, -1}).y;
    const double down = t({0, 1}).y - 480;
    CHECK(std::max(up, down) == Approx(150 * 0.93969 / (1 - 0.01539)).epsilon(1e-4));
    CHECK(std::min(up, down) == Approx(150 * 0.93969 / (1 + 0.01539)).epsilon(1e-4));
    // A quarter turn clockwise takes the top to the right.
    const Pose turned{{640, 480}, 300, kTurn / 4, 0, 0};
    CHECK(seen(turned, 1280, 960)({0, -1}).x == Approx(790).epsilon(1e-9));
    const Point back = t.inverse()(t({0.3, -0.7}));
    CHECK(back.x == Approx(0.3));
    CHECK(back.y == Approx(-0.7));
}

TEST_CASE("The code's ink lies inside the disc, its capitals as large as told", "[reading]") {
    const char* const codes[] = {"RKD 014",          "AB 1234",          "WXYZ 999", "123456",
                                 "QQQQQQ 123456789", "WWWWWW 000000000", "M 1234567"};
    for (const TypefaceSet set : {TypefaceSet::Tuning, TypefaceSet::Judging})
        for (std::uint64_t seed = 0; seed < 140; ++seed) {
            const std::string code = codes[seed % 7];
            const FlatTag tag = printTag(code, set, 300, Chance(seed));
            CAPTURE(code, seed, tag.typeface);
            CHECK(tag.codeReach < 0.97);
            if (seed % 7 < 4) {
                CHECK(tag.capitals >= 0.14);
                CHECK(tag.capitals <= 0.30);
            }
            // Only paper along the rim; ink in the middle of some row.
            const double radius = tag.size / (2 * FlatTag::kReach);
            const auto lightAt = [&](double x, double y) {
                const auto px = static_cast<std::size_t>(tag.size / 2.0 + x * radius);
                const auto py = static_cast<std::size_t>(tag.size / 2.0 + y * radius);
                const float* p = &tag.rgba[(py * static_cast<std::size_t>(tag.size) + px) * 4];
                return static_cast<double>(p[0] + p[1] + p[2]) / 3;
            };
            double paper = 0;
            double rim = 1;
            double ink = 1;
            for (int ray = 0; ray < 360; ++ray) {
                const double light = lightAt(0.98 * std::cos(ray), 0.98 * std::sin(ray));
                paper = std::max(paper, light);
                rim = std::min(rim, light);
            }
            const Point corner = tag.codeCorners.front();
            for (double x = corner.x; x < tag.codeCorners[2].x; x += 0.01)
                ink = std::min(ink, lightAt(x, (corner.y + tag.codeCorners[1].y) / 2));
            CHECK(rim > 0.75 * paper);
            CHECK(ink < 0.35 * paper);
        }
}

TEST_CASE("A tag tells how far its code reaches towards a side", "[reading]") {
    // Where a finger may lie. The farthest corner in that direction, by hand.
    FlatTag tag;
    tag.codeCorners = {{-0.5, -0.4}, {-0.5, 0.3}, {0.5, -0.4}, {0.5, 0.3}};
    CHECK(tag.reachTowards({1, 0}) == Approx(0.5));
    CHECK(tag.reachTowards({0, -1}) == Approx(0.4));
    CHECK(tag.reachTowards({0.6, 0.8}) == Approx(0.54));
}

TEST_CASE("Frames of a burst show one tag, moved a little", "[reading]") {
    Options options = optionsOf(Tier::Field);
    const TagFrame first = drawFrame(7, options);
    for (options.burst = 1; options.burst < 4; ++options.burst) {
        const TagFrame next = drawFrame(7, options);
        CHECK(next.code == first.code);
        CHECK(next.typeface == first.typeface);
        CHECK(next.frame.width == first.frame.width);
        CHECK(next.frame.rgb != first.frame.rgb);
        const double moved = std::hypot(next.centre.x - first.centre.x, next.centre.y - first.centre.y);
        CHECK(moved > 0);
        CHECK(moved < 0.5 * first.diameter);
    }
}

TEST_CASE("Frames of the hard tier are less sharp than clean ones", "[reading]") {
    double clean = 0;
    double hard = 0;
    for (std::uint64_t seed = 0; seed < 6; ++seed) {
        clean += sharpestStep(drawFrame(seed, optionsOf(Tier::Clean)));
        hard += sharpestStep(drawFrame(seed, optionsOf(Tier::Hard)));
    }
    CHECK(hard < 0.7 * clean);
}

TEST_CASE("Frames to be refused show why", "[reading]") {
    for (std::uint64_t seed = 0; seed < 4; ++seed) {
        CAPTURE(seed);
        const TagFrame none = drawFrame(seed, optionsOf(Tier::Field, Refusal::NoTag));
        CHECK(none.code.empty());
        CHECK(none.diameter == 0);
        CHECK_FALSE(none.frame.isEmpty());

        const TagFrame far = drawFrame(seed, optionsOf(Tier::Field, Refusal::TooFar));
        CHECK(far.diameter >= 60);
        CHECK(far.diameter <= 110);

        // As far out as the code reaches nearly all pixels are at full light.
        const TagFrame glare = drawFrame(seed, optionsOf(Tier::Clean, Refusal::Glare));
        int white = 0;
        int all = 0;
        for (double r = 0; r < glare.codeReach; r += 0.05)
            for (int ray = 0; ray < 60; ++ray, ++all) {
                const Point at = glare.tagToFrame({r * std::cos(ray * kTurn / 60), r * std::sin(ray * kTurn / 60)});
                white += greyAt(glare.frame, at) > 245;
            }
        CHECK(white > 0.97 * all);

        const double sharp = sharpestStep(drawFrame(seed, optionsOf(Tier::Clean)));
        CHECK(sharpestStep(drawFrame(seed, optionsOf(Tier::Clean, Refusal::Blurred))) < 0.35 * sharp);

        const TagFrame covered = drawFrame(seed, optionsOf(Tier::Field, Refusal::Covered));
        Options free = optionsOf(Tier::Field);
        free.code = covered.code;
        const TagFrame bare = drawFrame(seed, free);
        int changed = 0;
        all = 0;
        for (double r = 0; r < 0.6; r += 0.05)
            for (int ray = 0; ray < 60; ++ray, ++all) {
                const Point at = bare.tagToFrame({r * std::cos(ray * kTurn / 60), r * std::sin(ray * kTurn / 60)});
                changed += std::abs(greyAt(covered.frame, at) - greyAt(bare.frame, at)) > 12;
            }
        CHECK(changed > 0.4 * all);
    }
}

TEST_CASE("What is judged in has typefaces that nothing was tuned in, and all are there", "[reading]") {
    std::set<std::string_view> tuned;
    for (const Typeface& one : kTuningTypefaces) {
        CHECK(tuned.insert(one.file).second);
        CHECK(typeface(one.file) != nullptr);
    }
    for (const Typeface& one : kJudgingTypefaces) {
        CHECK(tuned.insert(one.file).second);
        CHECK(typeface(one.file) != nullptr);
    }
    CHECK(typeface("no/such/font.ttf") == nullptr);
}

TEST_CASE("A phone's codes are runs of two or three schemes", "[reading]") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const auto codes = phonesCodes(seed);
        CAPTURE(seed, codes.size());
        CHECK(codes.size() >= 300);
        CHECK(codes.size() <= 1500);
        CHECK(std::is_sorted(codes.begin(), codes.end()));
        CHECK(std::adjacent_find(codes.begin(), codes.end()) == codes.end());
        std::set<tag::Scheme> schemes;
        std::size_t followed = 0;
        for (std::size_t i = 0; i < codes.size(); ++i) {
            const auto code = tag::Code::fromText(codes[i]);
            REQUIRE(code);
            schemes.insert(tag::Scheme::of(*code));
            const auto next = tag::Scheme::of(*code).next(*code);
            followed += next && std::binary_search(codes.begin(), codes.end(), next->text());
        }
        CHECK(schemes.size() <= 3);
        CHECK(followed > codes.size() * 3 / 4);
        Chance chance(seed);
        for (int i = 0; i < 20; ++i)
            CHECK_FALSE(std::binary_search(codes.begin(), codes.end(), unlistedCode(codes, chance)));
    }
}

TEST_CASE("A code's neighbours differ from it in one character", "[reading]") {
    const auto codes = neighboursOf("RKD 014");
    CHECK(codes.size() == 3 * 25 + 3 * 9);
    for (const std::string& code : codes) {
        CHECK(differences(code, "RKD 014") == 1);
        CHECK(tag::Code::fromText(code));
    }
    CHECK(std::set<std::string>(codes.begin(), codes.end()).size() == codes.size());
}
