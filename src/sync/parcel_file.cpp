#include "sync/parcel_file.h"

#include "storage/durable_file.h"
#include "sync/guarded.h"
#include "sync/parcel.h"

#include <array>
#include <cerrno>
#include <cstdio>
#include <memory>

namespace discal::sync {

namespace {

struct Close {
    void operator()(std::FILE* file) const { (void)std::fclose(file); }
};

tl::unexpected<Error> errorOf(const std::filesystem::path& path, int error) {
    const Code code = error == ENOENT || error == ENOTDIR ? Code::NotFound
                      : error == EACCES || error == EPERM ? Code::ReadOnly
                      : error == ENOMEM                   ? Code::OutOfMemory
                                                          : Code::Io;
    return fail(code, path.string(), error);
}

/// Not storage::readWhole, which reads to the end: here the file may be anything, and endless.
Result<std::string> readBounded(const std::filesystem::path& path) {
    const std::unique_ptr<std::FILE, Close> file(std::fopen(path.c_str(), "rbe"));
    if (!file)
        return errorOf(path, errno);
    std::string out;
    std::array<char, 65536> buffer{};
    for (;;) {
        const std::size_t n = std::fread(buffer.data(), 1, buffer.size(), file.get());
        const int error = errno;
        out.append(buffer.data(), n);
        if (out.size() > kLargestParcel)
            return fail(Code::OutOfRange, "parcel");
        if (n == buffer.size())
            continue;
        if (std::ferror(file.get()) != 0)
            return errorOf(path, error);
        return out;
    }
}

} // namespace

Result<void> writeParcelFile(const std::filesystem::path& path, const storage::Delivery& delivery) {
    return guarded([&]() -> Result<void> {
        // A link that leads nowhere is there too.
        std::error_code ec;
        if (std::filesystem::exists(std::filesystem::symlink_status(path, ec)))
            return fail(Code::Exists, path.string());
        const auto bytes = encodeParcel(delivery);
        if (!bytes)
            return fail(bytes.error());
        return storage::writeDurably(path, *bytes, 0600);
    });
}

Result<storage::Delivery> readParcelFile(const std::filesystem::path& path) {
    return guarded([&]() -> Result<storage::Delivery> {
        const auto bytes = readBounded(path);
        if (!bytes)
            return fail(bytes.error());
        return decodeParcel(*bytes);
    });
}

} // namespace discal::sync
