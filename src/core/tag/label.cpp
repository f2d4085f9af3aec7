#include "core/tag/label.h"

#include <array>
#include <charconv>
#include <optional>
#include <vector>

namespace discal::tag {

namespace {

// On paper: do not change.
constexpr std::string_view kPrefix = "DISCAL SHEET ";
constexpr int kVersion = 1;

auto noLabel() {
    return fail(discal::Code::BadInput, "a sheet's label, or its first and last code");
}

std::vector<std::string_view> words(std::string_view text) {
    std::vector<std::string_view> out;
    for (;;) {
        const std::size_t blank = text.find(' ');
        out.push_back(text.substr(0, blank));
        if (blank == std::string_view::npos)
            return out;
        text.remove_prefix(blank + 1);
    }
}

std::optional<std::uint32_t> numberIn(std::string_view word) {
    std::uint32_t out = 0;
    const auto read = std::from_chars(word.data(), word.data() + word.size(), out);
    return read.ec == std::errc() && read.ptr == word.data() + word.size() ? std::optional(out) : std::nullopt;
}

Result<SheetLabel> readOurs(std::string_view text) {
    const auto parts = words(text.substr(kPrefix.size()));
    const auto version = numberIn(parts.front());
    if (version && *version > kVersion)
        return fail(discal::Code::NewerFile, "the label", *version);
    if (!version || (parts.size() != 4 && parts.size() != 5))
        return noLabel();
    const auto scheme = Scheme::fromPattern(parts[1]);
    const auto first = parseAny(parts[2]);
    const auto count = numberIn(parts[3]);
    const auto perRow = parts.size() == 5 ? numberIn(parts[4]) : std::optional<std::uint32_t>(0);
    if (!scheme || !first || !scheme->admits(*first) || !count || !perRow || *perRow > kMostPerRow)
        return noLabel();
    const SheetLabel label{*scheme, *first, *count, static_cast<int>(*perRow)};
    if (const auto run = label.run(); !run)
        return fail(run.error());
    // One spelling: what is printed anew is what was read.
    if (labelText(label) != text)
        return noLabel();
    return label;
}

/// What may stand between two codes; blanks around it don't count. Longer ones before their own parts.
constexpr std::array<std::string_view, 15> kBetween{"...", "..", "\xE2\x80\xA6", "\xE2\x80\x93", "\xE2\x80\x94",
                                                    "-",   "/",  ",",            ";",            "|",
                                                    "to",  "TO", "\n",           "\t",           " "};

bool isBlank(std::string_view text) {
    return text.find_first_not_of(" \t\r\n") == std::string_view::npos;
}

/// First and last code, parted at this place.
std::optional<Result<SheetLabel>> readParted(std::string_view before, std::string_view after, bool isBlankBetween) {
    const auto first = parseAny(before);
    if (!first)
        return std::nullopt;
    const Scheme scheme = Scheme::of(*first);
    const auto last = parseAny(after);
    const bool isWhole = last && scheme.admits(*last);
    // "RKD 101 125": 125 may as well be how many.
    const bool isDigits = last && last->letters().empty() && last->digits().size() == scheme.digitCount();
    if (!isWhole && (!isDigits || isBlankBetween))
        return std::nullopt;
    const auto run = parseRun(scheme, before, isWhole ? last->text() : std::string(last->digits()));
    if (!run)
        return Result<SheetLabel>(fail(run.error()));
    return Result<SheetLabel>(SheetLabel{scheme, *first, run->count});
}

Result<SheetLabel> readForeign(std::string_view text) {
    if (const auto code = parseAny(text))
        return SheetLabel{Scheme::of(*code), *code, 0};
    std::optional<Result<SheetLabel>> found;
    for (std::size_t at = 1; at < text.size(); ++at) {
        for (const std::string_view between : kBetween) {
            if (text.substr(at, between.size()) != between)
                continue;
            const auto read =
                readParted(text.substr(0, at), text.substr(at + between.size()), isBlank(between));
            if (!read)
                continue;
            // Two ways to part it that don't say the same: not for us to choose.
            if (found && (found->has_value() != read->has_value() || (*read && **found != **read)))
                return noLabel();
            found = read;
        }
    }
    return found.value_or(noLabel());
}

} // namespace

Result<Run> SheetLabel::run() const {
    return makeRun(scheme, scheme.ordinal(first), count);
}

std::string labelText(const SheetLabel& label) {
    if (label.count == 0)
        return label.first.text();
    std::string out(kPrefix);
    out += std::to_string(kVersion) + ' ' + label.scheme.pattern() + ' ' + label.first.compact() + ' ' +
           std::to_string(label.count);
    if (label.perRow > 0)
        out += ' ' + std::to_string(label.perRow);
    return out;
}

Result<SheetLabel> readLabel(std::string_view text) {
    if (text.size() > kMostLabelBytes)
        return noLabel();
    return text.starts_with(kPrefix) ? readOurs(text) : readForeign(text);
}

} // namespace discal::tag
