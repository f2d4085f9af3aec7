#include "sync/zstd_frame.h"

#include "sync/guarded.h"

#include <memory>
#include <vector>
#include <zstd.h>
#include <zstd_errors.h>

namespace discal::sync {

namespace {

/// Best size for the time on a few megabytes of lines; its window is 4 MiB. Our choice.
constexpr int kLevel = 9;
/// The first four bytes of every frame (RFC 8878, 3.1.1). Skippable frames and those of zstd before 1.0,
/// which the library may read too, begin otherwise.
constexpr std::string_view kMagic = "\x28\xB5\x2F\xFD";

struct Free {
    void operator()(ZSTD_CCtx* context) const { ZSTD_freeCCtx(context); }
    void operator()(ZSTD_DCtx* context) const { ZSTD_freeDCtx(context); }
};

tl::unexpected<Error> errorOf(std::size_t code) {
    switch (ZSTD_getErrorCode(code)) {
    case ZSTD_error_memory_allocation:
        return fail(Code::OutOfMemory);
    case ZSTD_error_frameParameter_windowTooLarge:
        return fail(Code::OutOfRange, "window");
    default:
        return fail(Code::Corrupt, "zstd");
    }
}

} // namespace

Result<std::string> packFrame(std::string_view text) {
    return guarded([&]() -> Result<std::string> {
        const std::unique_ptr<ZSTD_CCtx, Free> context(ZSTD_createCCtx());
        if (!context)
            return fail(Code::OutOfMemory);
        // Neither can fail: both are within their documented ranges.
        (void)ZSTD_CCtx_setParameter(context.get(), ZSTD_c_compressionLevel, kLevel);
        (void)ZSTD_CCtx_setParameter(context.get(), ZSTD_c_checksumFlag, 1);
        std::string out(ZSTD_compressBound(text.size()), '\0');
        const std::size_t size =
            ZSTD_compress2(context.get(), out.data(), out.size(), text.data(), text.size());
        if (ZSTD_isError(size) != 0)
            return errorOf(size);
        out.resize(size);
        return out;
    });
}

Result<std::string> unpackFrame(std::string_view frame, std::size_t limit) {
    return guarded([&]() -> Result<std::string> {
        if (!frame.starts_with(kMagic))
            return fail(Code::BadInput, "zstd");
        const std::unique_ptr<ZSTD_DCtx, Free> context(ZSTD_createDCtx());
        if (!context)
            return fail(Code::OutOfMemory);
        if (const auto set = ZSTD_DCtx_setParameter(context.get(), ZSTD_d_windowLogMax, kLargestWindowLog);
            ZSTD_isError(set) != 0)
            return errorOf(set);
        std::string out;
        std::vector<char> chunk(ZSTD_DStreamOutSize());
        ZSTD_inBuffer from{frame.data(), frame.size(), 0};
        for (;;) {
            ZSTD_outBuffer to{chunk.data(), chunk.size(), 0};
            const std::size_t left = ZSTD_decompressStream(context.get(), &to, &from);
            if (ZSTD_isError(left) != 0)
                return errorOf(left);
            if (to.pos > limit - out.size())
                return fail(Code::OutOfRange, "unpacked");
            out.append(chunk.data(), to.pos);
            if (left == 0)
                break;
            // All was taken in and there was room for more, but nothing more came: the frame is cut short.
            if (from.pos == from.size && to.pos < to.size)
                return fail(Code::Corrupt, "zstd");
        }
        if (from.pos != from.size)
            return fail(Code::Corrupt, "zstd");
        return out;
    });
}

} // namespace discal::sync
