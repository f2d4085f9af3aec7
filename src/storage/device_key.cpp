#include "storage/device_key.h"

#include "core/journal/line.h"
#include "core/text/base_n.h"
#include "storage/durable_file.h"

#include <boost/json.hpp>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace discal::storage {

namespace json = boost::json;

namespace {

KeyPlace placeOf(const std::filesystem::path& path) {
    KeyPlace place;
    place.machine = machineId();
    struct statx info {};
    if (::statx(AT_FDCWD, path.c_str(), 0, STATX_INO | STATX_BTIME, &info) == 0) {
        place.inode = info.stx_ino;
        if ((info.stx_mask & STATX_BTIME) != 0)
            place.bornNs = info.stx_btime.tv_sec * 1'000'000'000 + info.stx_btime.tv_nsec;
    }
    return place;
}

std::string textOf(const journal::KeyPair& pair, const KeyPlace& place) {
    // The numbers are text: an inode may be beyond 2^53.
    return json::serialize(json::object{{"device", pair.device().text()},
                                        {"seed", text::base64url(pair.seed)},
                                        {"machine", place.machine},
                                        {"inode", std::to_string(place.inode)},
                                        {"born", std::to_string(place.bornNs)}}) +
           "\n";
}

} // namespace

std::string machineId() {
    const auto id = readWhole("/etc/machine-id");
    if (!id || !*id)
        return {};
    return (*id)->substr(0, (*id)->find('\n'));
}

Result<std::optional<StoredKey>> loadKey(const std::filesystem::path& path) {
    const auto bytes = readWhole(path);
    if (!bytes)
        return fail(bytes.error());
    if (!*bytes)
        return std::optional<StoredKey>();
    boost::json::error_code ec;
    const auto parsed = json::parse(**bytes, ec);
    if (ec || !parsed.is_object())
        return fail(Code::Corrupt, path.string());
    const auto& object = parsed.as_object();
    const auto seed = text::fromBase64url(journal::textIn(object, "seed").value_or(""));
    if (!seed || seed->size() != 32)
        return fail(Code::Corrupt, path.string());
    StoredKey key;
    std::array<std::uint8_t, 32> raw{};
    std::copy(seed->begin(), seed->end(), raw.begin());
    key.pair = journal::KeyPair::fromSeed(raw);
    key.madeAt.machine = journal::textIn(object, "machine").value_or("");
    key.madeAt.inode = std::strtoull(std::string(journal::textIn(object, "inode").value_or("0")).c_str(), nullptr, 10);
    key.madeAt.bornNs = std::strtoll(std::string(journal::textIn(object, "born").value_or("0")).c_str(), nullptr, 10);
    key.foundAt = placeOf(path);
    return std::optional(std::move(key));
}

Result<void> storeKey(const std::filesystem::path& path, const journal::KeyPair& pair) {
    // Where the file is known only once it is there: first an empty one in its final place, then its content into
    // the same inode. A crash in between leaves a key that can't be read, and a chain that has no line yet.
    if (auto made = writeDurably(path, "", 0600); !made)
        return made;
    const std::string bytes = textOf(pair, placeOf(path));
    const int fd = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
    if (fd < 0)
        return fail(Code::Io, path.string(), errno);
    const bool isWritten = ::pwrite(fd, bytes.data(), bytes.size(), 0) == static_cast<ssize_t>(bytes.size()) &&
                           ::fsync(fd) == 0;
    const int error = errno;
    ::close(fd);
    if (!isWritten)
        return fail(error == ENOSPC ? Code::DiskFull : Code::Io, path.string(), error);
    return {};
}

Mark::~Mark() {
    if (m_fd >= 0)
        ::close(m_fd);
}

std::optional<Mark::Value> Mark::read() const {
    const auto bytes = readWhole(m_path);
    if (!bytes || !*bytes)
        return std::nullopt;
    // "DEVICE SEQ HASH\n", padded to one length, so that a shorter one never leaves a tail of a longer.
    const std::string& s = **bytes;
    if (s.size() < 26 + 1 + 16 + 1 + 64 + 1 || s[26] != ' ' || s[43] != ' ' || s[108] != '\n')
        return std::nullopt;
    const auto hash = journal::hashFromHex(s.substr(44, 64));
    const auto device = journal::DeviceId::parse(s.substr(0, 26));
    if (!hash || !device)
        return std::nullopt;
    return Value{device->text(), {std::strtoll(s.substr(27, 16).c_str(), nullptr, 10), *hash}};
}

void Mark::write(const journal::DeviceId& device, const journal::Head& head) {
    if (m_fd < 0)
        m_fd = ::open(m_path.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0644);
    if (m_fd < 0)
        return;
    std::string seq = std::to_string(head.seq);
    seq.insert(0, 16 - std::min<std::size_t>(16, seq.size()), '0');
    const std::string bytes = device.text() + " " + seq + " " + journal::hexOf(head.hash) + "\n";
    (void)!::pwrite(m_fd, bytes.data(), bytes.size(), 0);
}

} // namespace discal::storage
