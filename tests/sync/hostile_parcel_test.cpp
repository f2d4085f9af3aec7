#include "catch_compat.hpp"
#include "core/journal/chain.h"
#include "phone.h"
#include "sync/parcel.h"
#include "sync/zstd_frame.h"

#include <sys/resource.h>
#include <zstd.h>

using namespace discal;
using namespace discal::tests;

namespace {

storage::Delivery threeLines() {
    auto delivery = signedDelivery(keyOf(3), {lineOf("device.started", 1), lineOf("session.opened", 2),
                                              lineOf("weather.read", 3, {{"temperature_mc", 21'500}})});
    delivery.blobs.push_back(storage::makeBlob({7}, "a note").value());
    return delivery;
}

Code refusal(std::string_view bytes) {
    const auto decoded = sync::decodeParcel(bytes);
    REQUIRE_FALSE(decoded);
    return decoded.error().code;
}

/// `size` zero bytes as one frame, without ever holding them. `begin` comes first.
std::string frameOfZeros(std::size_t size, int windowLog, std::string begin = {}) {
    ZSTD_CCtx* context = ZSTD_createCCtx();
    ZSTD_CCtx_setParameter(context, ZSTD_c_windowLog, windowLog);
    const std::string block(std::size_t{1} << 20U, '\0');
    std::string out;
    std::string buffer(ZSTD_CStreamOutSize(), '\0');
    const auto feed = [&](std::string_view bytes, ZSTD_EndDirective how) {
        ZSTD_inBuffer in{bytes.data(), bytes.size(), 0};
        for (std::size_t left = 1; left != 0 && (how == ZSTD_e_end || in.pos < in.size);) {
            ZSTD_outBuffer to{buffer.data(), buffer.size(), 0};
            left = ZSTD_compressStream2(context, &to, &in, how);
            REQUIRE(ZSTD_isError(left) == 0);
            out.append(buffer, 0, to.pos);
        }
    };
    feed(begin, ZSTD_e_continue);
    for (std::size_t done = begin.size(); done < size; done += block.size())
        feed(std::string_view(block).substr(0, size - done), ZSTD_e_continue);
    feed({}, ZSTD_e_end);
    ZSTD_freeCCtx(context);
    return out;
}

std::int64_t mostMemoryKiB() {
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
}

} // namespace

TEST_CASE("A parcel with any one bit turned over is refused, or says exactly the same", "[parcel]") {
    const auto whole = threeLines();
    const std::string bytes = sync::encodeParcel(whole).value();
    for (std::size_t at = 0; at < bytes.size(); ++at) {
        for (unsigned flip = 0; flip < 9; ++flip) {
            std::string wrong = bytes;
            const unsigned mask = flip < 8 ? 1U << flip : 0xFFU;
            wrong[at] = static_cast<char>(static_cast<unsigned char>(wrong[at]) ^ mask);
            // Some bits of a frame mean nothing: one in its header (RFC 8878, 3.1.1.1.1), padding in its
            // blocks.
            const auto decoded = sync::decodeParcel(wrong);
            INFO("byte " << at << " mask " << mask);
            CHECK((!decoded || isSame(*decoded, whole)));
        }
    }
}

TEST_CASE("A text with any one bit turned over is refused, or says exactly the same", "[parcel]") {
    // No checksum of zstd in the way: the chain, the signature and the hashes of blobs have to find it.
    const auto whole = threeLines();
    const std::string text = sync::encodeUnpacked(whole).value();
    for (std::size_t at = 0; at < text.size(); ++at) {
        for (unsigned bit = 0; bit < 8; ++bit) {
            std::string wrong = text;
            wrong[at] = static_cast<char>(static_cast<unsigned char>(wrong[at]) ^ (1U << bit));
            const auto decoded = sync::decodeUnpacked(wrong);
            INFO("byte " << at << " bit " << bit);
            CHECK((!decoded || isSame(*decoded, whole)));
        }
    }
}

TEST_CASE("A parcel that is cut at any byte, or followed by one, is refused", "[parcel]") {
    const std::string bytes = sync::encodeParcel(threeLines()).value();
    for (std::size_t size = 0; size < bytes.size(); ++size) {
        INFO(size);
        CHECK_FALSE(sync::decodeParcel(std::string_view(bytes).substr(0, size)));
    }
    CHECK(refusal(bytes + '\0') == Code::Corrupt);
    CHECK(refusal(bytes + bytes) == Code::Corrupt);
    CHECK(refusal("\n" + bytes) == Code::BadInput);
    CHECK(refusal("") == Code::BadInput);
}

TEST_CASE("A parcel of two frames, or with a skippable frame, is refused", "[parcel]") {
    const std::string text = sync::encodeUnpacked(threeLines()).value();
    const std::string bytes = sync::packFrame(text).value();
    CHECK(refusal(sync::packFrame(text.substr(0, 400)).value() + sync::packFrame(text.substr(400)).value()) ==
          Code::Corrupt);
    const std::string skippable("\x50\x2A\x4D\x18\x02\0\0\0xx", 10);
    CHECK(refusal(skippable + bytes) == Code::BadInput);
    CHECK(refusal(bytes + skippable) == Code::Corrupt);
    CHECK(refusal(sync::packFrame("").value()) == Code::Corrupt);
}

TEST_CASE("A frame that does not tell its size is read too", "[parcel]") {
    std::string text = sync::encodeUnpacked(threeLines()).value();
    const std::size_t size = text.size();
    CHECK(isSame(sync::decodeParcel(frameOfZeros(size, 20, std::move(text))).value(), threeLines()));
}

TEST_CASE("A gibibyte of zeros is refused within bounded memory", "[parcel]") {
    constexpr std::size_t kGibibyte = std::size_t{1} << 30U;
    const std::string bomb = frameOfZeros(kGibibyte, 20);
    const std::string farBomb = frameOfZeros(kGibibyte, 27);
    CHECK(bomb.size() < 200'000);
    const auto before = mostMemoryKiB();
    const auto decoded = sync::decodeParcel(bomb);
    REQUIRE_FALSE(decoded);
    CHECK(decoded.error().code == Code::OutOfRange);
    CHECK(decoded.error().detail == "unpacked");
    const auto far = sync::decodeParcel(farBomb);
    REQUIRE_FALSE(far);
    CHECK(far.error().code == Code::OutOfRange);
    CHECK(far.error().detail == "window");
    // A string that doubles to 64 MiB, and a sanitizer that keeps what was freed: far below a gibibyte.
    CHECK(mostMemoryKiB() - before < 300 * 1024);
}

TEST_CASE("What comes out is counted to the byte", "[parcel]") {
    const std::string frame = sync::packFrame(std::string(100'000, 'x')).value();
    CHECK(sync::unpackFrame(frame, 100'000).value().size() == 100'000);
    CHECK(sync::unpackFrame(frame, 99'999).error().code == Code::OutOfRange);
    CHECK(sync::unpackFrame(frame, 0).error().code == Code::OutOfRange);
    CHECK(sync::unpackFrame(sync::packFrame("").value(), 0).value().empty());
}

TEST_CASE("Bytes beyond the largest parcel are not looked at", "[parcel]") {
    const std::string bytes(sync::kLargestParcel + 1, '\0');
    CHECK(refusal(bytes) == Code::OutOfRange);
    CHECK(sync::decodeUnpacked(bytes).error().code == Code::OutOfRange);
}

TEST_CASE("A delivery that no parcel could hold is not written", "[parcel]") {
    const auto tooMany = signedDelivery(keyOf(1), std::vector<std::string>(sync::kMostLines + 1, "{}"));
    CHECK(sync::encodeParcel(tooMany).error().code == Code::OutOfRange);
    const auto most = signedDelivery(keyOf(1), std::vector<std::string>(sync::kMostLines, "{}"));
    CHECK(isSame(sync::decodeParcel(sync::encodeParcel(most).value()).value(), most));
    const auto tooLarge = signedDelivery(keyOf(1), std::vector<std::string>(4096, std::string(16'384, 'x')));
    CHECK(sync::encodeParcel(tooLarge).error().detail == "unpacked");
    CHECK(sync::encodeParcel(signedDelivery(keyOf(1), {})).error().code == Code::OutOfRange);
}

TEST_CASE("Lines that the device did not sign are refused, though their chain is whole", "[parcel]") {
    auto forged = threeLines();
    const std::string jws = forged.jws;
    forged.lines[1] = lineOf("session.opened", 9);
    SECTION("with the old signature") {
        signAgain(forged, keyOf(3));
        std::string text = sync::encodeUnpacked(forged).value();
        text.replace(text.find(forged.jws), forged.jws.size(), jws);
        CHECK(sync::decodeUnpacked(text).error().code == Code::BadSignature);
        CHECK(refusal(sync::packFrame(text).value()) == Code::BadSignature);
        forged.jws = jws;
        CHECK(sync::encodeParcel(forged).error().code == Code::BadSignature);
    }
    SECTION("with the old head") {
        CHECK(sync::encodeParcel(forged).error().code == Code::BrokenChain);
    }
    SECTION("with another's signature") {
        signAgain(forged, keyOf(4));
        CHECK(sync::encodeParcel(forged).error().code == Code::WrongDevice);
    }
    SECTION("with a signature over a shorter chain") {
        auto shorter = threeLines();
        shorter.lines.pop_back();
        CHECK(sync::encodeParcel(shorter).error().code == Code::BrokenChain);
        signAgain(shorter, keyOf(3));
        std::string text = sync::encodeUnpacked(threeLines()).value();
        text.replace(text.find(jws), jws.size(), shorter.jws);
        CHECK(sync::decodeUnpacked(text).error().code == Code::BadSignature);
    }
}

TEST_CASE("A key that does not make the device is refused", "[parcel]") {
    const auto genuine = threeLines();
    const auto other = keyOf(4);
    const std::string text = sync::encodeUnpacked(genuine).value();
    SECTION("another's key under the device's name") {
        auto forged = genuine;
        forged.publicKey = other.publicKey;
        forged.prev = journal::chainStart(other.publicKey);
        signAgain(forged, other);
        CHECK(sync::encodeParcel(forged).error().code == Code::WrongDevice);
        forged.device = other.device();
        std::string renamed = sync::encodeUnpacked(forged).value();
        renamed.replace(renamed.find(other.device().text()), 26, genuine.device.text());
        CHECK(sync::decodeUnpacked(renamed).error().code == Code::WrongDevice);
    }
    SECTION("the device's key under another's name") {
        std::string renamed = text;
        renamed.replace(renamed.find(genuine.device.text()), 26, other.device().text());
        CHECK(sync::decodeUnpacked(renamed).error().code == Code::WrongDevice);
    }
}

TEST_CASE("The first line must follow the start of the chain", "[parcel]") {
    auto forged = threeLines();
    forged.prev[0] ^= 1U;
    signAgain(forged, keyOf(3));
    CHECK(sync::encodeParcel(forged).error().code == Code::BrokenChain);
    std::string text = sync::encodeUnpacked(threeLines()).value();
    const std::string start = journal::hexOf(threeLines().prev);
    text.replace(text.find(start), start.size(), journal::hexOf(forged.prev));
    text.replace(text.find(threeLines().jws), forged.jws.size(), forged.jws);
    CHECK(sync::decodeUnpacked(text).error().code == Code::BrokenChain);
}
