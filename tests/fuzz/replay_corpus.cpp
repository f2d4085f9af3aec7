// Runs a fuzz target as an ordinary test: on every file of a corpus, on every truncation of it and with every
// byte flipped in turn. For compilers without libFuzzer, and so that what was once found stays found.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <memory>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

using Bytes = std::vector<std::uint8_t>;

/// A file of more bytes than this is cut and flipped at this many places only, spread evenly: a target may
/// take time in proportion to its input, and the corpus should run in seconds.
constexpr std::size_t kPlaces = 1024;

std::size_t inputs = 0;

/// On a copy of just that size, so that the address sanitizer sees a byte read too far.
void run(const std::uint8_t* data, std::size_t size) {
    const std::unique_ptr<std::uint8_t[]> exact(new std::uint8_t[size]);
    std::copy_n(data, size, exact.get());
    LLVMFuzzerTestOneInput(exact.get(), size);
    ++inputs;
}

void runAll(const Bytes& file) {
    run(file.data(), file.size());
    const std::size_t stride = std::max<std::size_t>(1, file.size() / kPlaces);
    for (std::size_t at = 0; at < file.size(); at += stride) {
        run(file.data(), at);
        Bytes flipped = file;
        // Another bit at each place; all eight where the file is small enough.
        for (unsigned bit = 0; bit < 8; ++bit) {
            if (file.size() > 512 && bit != at % 8)
                continue;
            flipped[at] = static_cast<std::uint8_t>(file[at] ^ (1U << bit));
            run(flipped.data(), flipped.size());
        }
    }
}

} // namespace

int main(int argc, char* argv[]) {
    std::error_code ec;
    const std::filesystem::directory_iterator folder(argc == 2 ? argv[1] : "", ec);
    if (ec) {
        std::cerr << "usage: " << argv[0] << " CORPUS-FOLDER\n";
        return 2;
    }
    std::vector<std::filesystem::path> paths;
    for (const auto& entry : folder)
        if (entry.is_regular_file())
            paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    for (const auto& path : paths) {
        // A target that aborts says nothing itself: the last name printed is the one that did it.
        std::cout << path.filename().string() << std::endl;
        std::ifstream in(path, std::ios::binary);
        runAll(Bytes{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()});
    }
    std::cout << inputs << " inputs\n";
    return inputs > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
