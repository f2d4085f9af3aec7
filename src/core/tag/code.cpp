#include "core/tag/code.h"

#include "core/tag/glyphs.h"

#include <algorithm>

namespace discal::tag {

namespace {

/// No scheme is known here, so any legal form will do.
constexpr const char* kLegalForm = "AAA 000 (RKD 014)";

bool isCapital(char c) {
    return c >= 'A' && c <= 'Z';
}
bool isDigit(char c) {
    return c >= '0' && c <= '9';
}

bool fits(std::string_view letters, std::string_view digits) {
    return letters.size() <= kMaxLetters && digits.size() >= kMinDigits && digits.size() <= kMaxDigits &&
           letters.size() + digits.size() >= kMinGlyphs &&
           std::all_of(letters.begin(), letters.end(), isCapital) &&
           std::all_of(digits.begin(), digits.end(), isDigit);
}

} // namespace

Code::Code(std::string_view letters, std::string_view digits) : m_text(letters) {
    if (!letters.empty())
        m_text += ' ';
    m_text += digits;
}

Result<Code> Code::fromText(std::string_view canonical) {
    const std::size_t space = canonical.find(' ');
    const bool hasLetters = space != std::string_view::npos;
    const std::string_view letters = hasLetters ? canonical.substr(0, space) : std::string_view{};
    const std::string_view digits = hasLetters ? canonical.substr(space + 1) : canonical;
    if (hasLetters == letters.empty() || !fits(letters, digits))
        return fail(discal::Code::NotACode, kLegalForm);
    return Code(letters, digits);
}

std::string Code::compact() const {
    std::string out(letters());
    out += digits();
    return out;
}

std::string_view Code::letters() const noexcept {
    const std::size_t space = m_text.find(' ');
    return space == std::string::npos ? std::string_view{} : std::string_view(m_text).substr(0, space);
}

std::string_view Code::digits() const noexcept {
    const std::size_t space = m_text.find(' ');
    return space == std::string::npos ? std::string_view(m_text) : std::string_view(m_text).substr(space + 1);
}

Result<Code> parseAny(std::string_view typed) {
    const auto glyphs = scanGlyphs(typed);
    if (!glyphs)
        return fail(discal::Code::NotACode, kLegalForm);
    const std::string_view text = glyphs->text;
    const auto firstDigit = std::find_if(text.begin(), text.end(), isDigit);
    const auto border = static_cast<std::size_t>(firstDigit - text.begin());
    const std::string_view letters = text.substr(0, border);
    const std::string_view digits = text.substr(border);
    if (!fits(letters, digits) || !glyphs->blanksOnlyAt(border) || !glyphs->dashesOnlyAt(border))
        return fail(discal::Code::NotACode, kLegalForm);
    std::string canonical(letters);
    if (!letters.empty())
        canonical += ' ';
    canonical += digits;
    return Code::fromText(canonical);
}

} // namespace discal::tag
