#include "cli/typed.h"

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <limits>

namespace discal::cli {

namespace {

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}
bool isLetter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

std::vector<std::string> partedBy(std::string_view text, std::string_view signs) {
    std::vector<std::string> parts;
    for (std::size_t at = 0; at < text.size();) {
        const auto begin = text.find_first_not_of(signs, at);
        if (begin == std::string_view::npos)
            break;
        const auto end = std::min(text.find_first_of(signs, begin), text.size());
        parts.emplace_back(text.substr(begin, end - begin));
        at = end;
    }
    return parts;
}

} // namespace

Result<std::int64_t> decimalIn(std::string_view typed, int digits) {
    constexpr std::size_t kMostDigits = 9;
    const auto wrong = fail(Code::BadInput, "a number, such as 51.5 or 51,5");
    bool isNegative = false;
    if (!typed.empty() && (typed[0] == '-' || typed[0] == '+')) {
        isNegative = typed[0] == '-';
        typed.remove_prefix(1);
    }
    const auto point = std::min(typed.find_first_of(",."), typed.size());
    const std::string_view whole = typed.substr(0, point);
    const std::string_view fraction = point < typed.size() ? typed.substr(point + 1) : std::string_view();
    if (whole.empty() || whole.size() > kMostDigits || (point < typed.size() && fraction.empty()) ||
        !std::all_of(whole.begin(), whole.end(), isDigit) ||
        !std::all_of(fraction.begin(), fraction.end(), isDigit))
        return wrong;
    std::int64_t value = 0;
    for (const char c : whole)
        value = value * 10 + (c - '0');
    for (int i = 0; i < digits; ++i) {
        const auto at = static_cast<std::size_t>(i);
        value = value * 10 + (at < fraction.size() ? fraction[at] - '0' : 0);
    }
    const auto next = static_cast<std::size_t>(digits);
    if (next < fraction.size() && fraction[next] >= '5')
        ++value;
    return isNegative ? -value : value;
}

Result<place::Position> positionIn(std::string_view typed) {
    const bool hasOtherSigns = typed.find_first_of("; ") != std::string_view::npos;
    auto parts = partedBy(typed, hasOtherSigns ? "; " : ",");
    if (hasOtherSigns)
        // "44.9541, -93.1022, 15": the comma before a blank parts, and is no point.
        for (std::string& part : parts)
            if (part.ends_with(','))
                part.pop_back();
    if (parts.size() != 3)
        return fail(Code::NotAPosition);
    const auto lat = decimalIn(parts[0], 7);
    const auto lon = decimalIn(parts[1], 7);
    const auto uncertainty = decimalIn(parts[2], 3);
    constexpr std::int64_t kMost = std::numeric_limits<std::int32_t>::max();
    if (!lat || !lon || !uncertainty || std::max(std::abs(*lat), std::abs(*lon)) > kMost)
        return fail(Code::NotAPosition);
    place::Position position;
    position.latE7 = static_cast<std::int32_t>(*lat);
    position.lonE7 = static_cast<std::int32_t>(*lon);
    position.uncertaintyMm = *uncertainty;
    position.origin = place::Position::Origin::Typed;
    if (!place::isLegal(position))
        return fail(Code::NotAPosition);
    return position;
}

std::optional<std::string> codeIn(const std::vector<std::string>& words) {
    if (words.empty())
        return std::nullopt;
    std::string out = words.front();
    for (std::size_t i = 1; i < words.size(); ++i)
        out += " " + words[i];
    return out;
}

std::vector<std::string> codesIn(const std::vector<std::string>& words) {
    std::vector<std::string> codes;
    bool isOpen = false;
    for (const std::string& word : words) {
        if (isOpen)
            codes.back() += " " + word;
        else
            codes.push_back(word);
        isOpen = !isOpen && std::all_of(word.begin(), word.end(), isLetter);
    }
    return codes;
}

Result<tag::Run> runIn(const std::vector<std::string>& words, services::Stock& stock,
                       storage::Projections& projections) {
    constexpr const char* kForm = "a run: \"RKD 001..RKD 025\", or \"RKD 001\" and how many";
    const std::string typed = codeIn(words).value_or("");
    std::string first = typed;
    std::string last;
    std::uint32_t count = 1;
    if (const auto dots = typed.find(".."); dots != std::string::npos) {
        first = typed.substr(0, dots);
        last = typed.substr(dots + 2);
        if (last.empty())
            return fail(Code::BadInput, kForm);
    } else if (words.size() > 1) {
        const std::string& number = words.back();
        const auto end = std::from_chars(number.data(), number.data() + number.size(), count);
        const bool isCount = end.ec == std::errc() && end.ptr == number.data() + number.size();
        // "RKD 014" without quotes is one code and no run of fourteen.
        const bool isCode = words.size() == 2 && std::all_of(words[0].begin(), words[0].end(), isLetter);
        if (!isCount)
            return fail(Code::BadInput, kForm);
        if (isCode)
            count = 1;
        else
            first = *codeIn({words.begin(), words.end() - 1});
    }
    const auto code = stock.read(first);
    if (!code)
        return fail(code.error());
    const auto sheets = projections.sheetsWith(code->code);
    if (!sheets)
        return fail(sheets.error());
    const auto known =
        std::find_if(sheets->begin(), sheets->end(), [](const tag::Sheet& s) { return s.run.has_value(); });
    const tag::Scheme scheme = known != sheets->end() ? known->run->scheme : tag::Scheme::of(code->code);
    return last.empty() ? tag::parseRun(scheme, code->code.text(), count)
                        : tag::parseRun(scheme, code->code.text(), std::string_view(last));
}

} // namespace discal::cli
