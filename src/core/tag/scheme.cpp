#include "core/tag/scheme.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>

namespace discal::tag {

namespace {

constexpr std::uint32_t kAlphabet = (1U << 26U) - 1U;

bool isCapital(char c) {
    return c >= 'A' && c <= 'Z';
}
char capitalOf(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}
std::uint32_t bitOf(char capital) {
    return 1U << static_cast<unsigned>(capital - 'A');
}

std::uint64_t allowedCount(std::uint32_t excluded) {
    return static_cast<std::uint64_t>(std::popcount(~excluded & kAlphabet));
}

/// How many allowed letters come before this one.
std::uint64_t rankOf(char letter, std::uint32_t excluded) {
    return static_cast<std::uint64_t>(std::popcount(~excluded & (bitOf(letter) - 1U)));
}

char letterOfRank(std::uint64_t rank, std::uint32_t excluded) {
    for (char letter = 'A'; letter <= 'Z'; ++letter) {
        if ((excluded & bitOf(letter)) == 0 && rank-- == 0)
            return letter;
    }
    return 'Z';
}

std::uint64_t power(std::uint64_t base, std::size_t exponent) {
    std::uint64_t out = 1;
    for (std::size_t i = 0; i < exponent; ++i)
        out *= base;
    return out;
}

} // namespace

Scheme::Scheme(std::size_t letters, std::size_t digits, std::uint32_t excluded) noexcept
    : m_letters(static_cast<std::uint8_t>(letters)), m_digits(static_cast<std::uint8_t>(digits)),
      m_excluded(letters == 0 ? 0 : excluded) {}

Result<Scheme> Scheme::learn(std::string_view example) {
    return parseAny(example).map(&Scheme::of);
}

Scheme Scheme::of(const Code& code) {
    return {code.letters().size(), code.digits().size(), 0};
}

Result<Scheme> Scheme::fromPattern(std::string_view pattern) {
    const auto refuse = [] { return fail(discal::Code::BadInput, "AAA000 or AAA000-IO"); };
    const std::size_t letters = std::min(pattern.find_first_not_of('A'), pattern.size());
    const std::size_t end = std::min(pattern.find_first_not_of('0', letters), pattern.size());
    const std::size_t digits = end - letters;
    if (letters > kMaxLetters || digits < kMinDigits || digits > kMaxDigits || letters + digits < kMinGlyphs)
        return refuse();
    const Scheme plain(letters, digits, 0);
    if (end == pattern.size())
        return plain;
    const std::string_view excluded = pattern.substr(end + 1);
    if (pattern[end] != '-' || letters == 0 || excluded.empty() ||
        !std::all_of(excluded.begin(), excluded.end(), isCapital))
        return refuse();
    return plain.withoutLetters(excluded);
}

std::string Scheme::pattern() const {
    std::string out(m_letters, 'A');
    out.append(m_digits, '0');
    if (m_excluded != 0)
        out += '-' + excludedLetters();
    return out;
}

std::string Scheme::legalForm() const {
    // Letters that look like nothing much else first; those left at the end only where the rest are excluded.
    constexpr std::string_view kPreferred = "RKDMPTVWAHXECFJLNUYGBSZQIO";
    constexpr std::string_view kDigits = "000000014";
    static_assert(kDigits.size() == kMaxDigits && kPreferred.size() == 26);
    std::string choice;
    std::copy_if(kPreferred.begin(), kPreferred.end(), std::back_inserter(choice),
                 [this](char letter) { return allowsLetter(letter); });
    std::string letters;
    for (std::size_t i = 0; i < m_letters; ++i)
        letters += choice[i % choice.size()];
    const std::string gap(m_letters == 0 ? 0 : 1, ' ');
    return std::string(m_letters, 'A') + gap + std::string(m_digits, '0') + " (" + letters + gap +
           std::string(kDigits.substr(kMaxDigits - m_digits)) + ')';
}

Result<Scheme> Scheme::withoutLetters(std::string_view letters) const {
    std::uint32_t excluded = m_excluded;
    for (const char typed : letters) {
        const char letter = capitalOf(typed);
        if (!isCapital(letter))
            return fail(discal::Code::BadInput, "A-Z");
        excluded |= bitOf(letter);
    }
    if (m_letters > 0 && excluded == kAlphabet)
        return fail(discal::Code::BadInput, "A-Z");
    return Scheme(m_letters, m_digits, excluded);
}

Scheme Scheme::withAllLetters() const noexcept {
    return {m_letters, m_digits, 0};
}

bool Scheme::allowsLetter(char letter) const noexcept {
    return isCapital(letter) && (m_excluded & bitOf(letter)) == 0;
}

std::string Scheme::excludedLetters() const {
    std::string out;
    for (char letter = 'A'; letter <= 'Z'; ++letter) {
        if ((m_excluded & bitOf(letter)) != 0)
            out += letter;
    }
    return out;
}

bool Scheme::hasShapeOf(const Scheme& other) const noexcept {
    return m_letters == other.m_letters && m_digits == other.m_digits;
}

bool Scheme::admits(const Code& code) const noexcept {
    const std::string_view letters = code.letters();
    return letters.size() == m_letters && code.digits().size() == m_digits &&
           std::all_of(letters.begin(), letters.end(), [this](char letter) { return allowsLetter(letter); });
}

std::uint64_t Scheme::capacity() const noexcept {
    return power(allowedCount(m_excluded), m_letters) * power(10, m_digits);
}

std::uint64_t Scheme::ordinal(const Code& code) const noexcept {
    if (!admits(code))
        return capacity();
    std::uint64_t out = 0;
    for (const char letter : code.letters())
        out = out * allowedCount(m_excluded) + rankOf(letter, m_excluded);
    for (const char digit : code.digits())
        out = out * 10 + static_cast<std::uint64_t>(digit - '0');
    return out;
}

Code Scheme::at(std::uint64_t ordinal) const {
    assert(ordinal < capacity());
    std::uint64_t rest = std::min(ordinal, capacity() - 1);
    std::string digits(m_digits, '0');
    for (std::size_t i = m_digits; i-- > 0; rest /= 10)
        digits[i] = static_cast<char>('0' + rest % 10);
    const std::uint64_t base = allowedCount(m_excluded);
    std::string letters(m_letters, 'A');
    for (std::size_t i = m_letters; i-- > 0; rest /= base)
        letters[i] = letterOfRank(rest % base, m_excluded);
    return {letters, digits};
}

std::optional<Code> Scheme::next(const Code& code, std::uint64_t count) const {
    if (!admits(code))
        return std::nullopt;
    const std::uint64_t from = ordinal(code);
    if (count >= capacity() - from)
        return std::nullopt;
    return at(from + count);
}

} // namespace discal::tag
