#include "reading/drawn/code_list.h"

#include "core/tag/scheme.h"

#include <algorithm>
#include <cstdlib>

namespace discal::drawn {

namespace {

tag::Scheme schemeBy(Chance& chance) {
    std::string example = anyCode(chance);
    // A sheet needs some codes to count through.
    while (std::count_if(example.begin(), example.end(), [](char c) { return c >= '0' && c <= '9'; }) < 3)
        example = anyCode(chance);
    auto scheme = tag::Scheme::learn(example);
    if (!scheme)
        std::abort();
    return *scheme;
}

std::uint64_t below(std::uint64_t count, Chance& chance) {
    return chance.bits() % count;
}

} // namespace

std::string anyCode(Chance& chance) {
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

std::vector<std::string> phonesCodes(std::uint64_t seed) {
    Chance chance(seed);
    const int schemes = 2 + chance.below(2);
    const int sheets = 40 + chance.below(21);
    std::vector<std::string> codes;
    for (int s = 0; s < schemes; ++s) {
        const tag::Scheme scheme = schemeBy(chance);
        std::uint64_t first = below(scheme.capacity(), chance);
        for (int sheet = s; sheet < sheets; sheet += schemes) {
            const std::uint64_t size = 25;
            const std::uint64_t used = below(size, chance);
            for (std::uint64_t i = used; i < size; ++i)
                if (first + i < scheme.capacity() && !chance.happens(0.04))
                    codes.push_back(scheme.at(first + i).text());
            // Most sheets follow each other; others were bought another year.
            first = chance.happens(0.75) ? first + size : below(scheme.capacity(), chance);
            if (first >= scheme.capacity())
                first = below(scheme.capacity(), chance);
        }
    }
    std::sort(codes.begin(), codes.end());
    codes.erase(std::unique(codes.begin(), codes.end()), codes.end());
    return codes;
}

std::string unlistedCode(const std::vector<std::string>& list, Chance& chance) {
    for (;;) {
        std::string code;
        const int way = list.empty() ? 2 : chance.below(3);
        if (way == 2) {
            code = anyCode(chance);
        } else {
            const auto scheme = tag::Scheme::learn(list[below(list.size(), chance)]);
            const auto near = tag::Code::fromText(list[below(list.size(), chance)]);
            if (!scheme || !near)
                std::abort();
            const std::uint64_t far = way == 0 && scheme->admits(*near) ? scheme->ordinal(*near) + 1 + below(60, chance)
                                                                        : below(scheme->capacity(), chance);
            code = scheme->at(far % scheme->capacity()).text();
        }
        if (!std::binary_search(list.begin(), list.end(), code))
            return code;
    }
}

std::vector<std::string> neighboursOf(const std::string& code) {
    std::vector<std::string> codes;
    for (std::size_t i = 0; i < code.size(); ++i) {
        if (code[i] == ' ')
            continue;
        const bool isDigit = code[i] >= '0' && code[i] <= '9';
        for (char c = isDigit ? '0' : 'A'; c <= (isDigit ? '9' : 'Z'); ++c)
            if (c != code[i]) {
                codes.push_back(code);
                codes.back()[i] = c;
            }
    }
    std::sort(codes.begin(), codes.end());
    return codes;
}

} // namespace discal::drawn
