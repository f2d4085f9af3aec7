#include "services/sample/script.h"

#include "core/journal/line.h"
#include "core/place/position.h"
#include "services/sample/decimal.h"

#include <algorithm>
#include <array>
#include <limits>
#include <set>

namespace discal::services::sample {

namespace json = boost::json;
using Shape = MemberForm::Shape;

namespace {

constexpr std::size_t kMostPhones = 9;
constexpr std::int64_t kMostSkewS = 100LL * 366 * 24 * 60 * 60;
/// A time of day that is earlier than the one before it belongs to the next day if that is so near; else it
/// is a slip.
constexpr std::chrono::hours kOverMidnight{12};
constexpr std::array<std::string_view, 8> kFates{"noted", "held",     "released", "escaped",
                                                 "died",  "untagged", "seen",     "unclear"};

constexpr std::array kVerdicts{Verdict::Accepted, Verdict::Unlisted, Verdict::Refused};
constexpr std::array kRefusals{Refusal::NoTag, Refusal::TooFar,  Refusal::Blurred,
                               Refusal::Glare, Refusal::Covered, Refusal::Unsure};

/// The one of this word.
template <class Values>
auto named(const Values& values, std::optional<std::string_view> word) {
    const auto found = std::find_if(values.begin(), values.end(), [&](auto v) { return wordOf(v) == word; });
    return found == values.end() ? std::nullopt : std::optional(*found);
}

template <class Values>
std::string wordsOf(const Values& values) {
    std::string out;
    for (const auto value : values)
        out += (out.empty() ? "" : " ") + std::string(wordOf(value));
    return out;
}

template <class Strings>
std::string listOf(const Strings& words) {
    std::string out;
    for (const auto& word : words)
        out += (out.empty() ? "" : " ") + std::string(word);
    return out;
}

std::vector<std::string_view> split(std::string_view words) {
    std::vector<std::string_view> out;
    while (!words.empty()) {
        const auto end = words.find(' ');
        if (end != 0)
            out.push_back(words.substr(0, end));
        words.remove_prefix(end == std::string_view::npos ? words.size() : end + 1);
    }
    return out;
}

std::optional<int> twoDigits(std::string_view s, std::size_t at) {
    if (at + 2 > s.size() || s[at] < '0' || s[at] > '9' || s[at + 1] < '0' || s[at + 1] > '9')
        return std::nullopt;
    return (s[at] - '0') * 10 + (s[at + 1] - '0');
}

/// "HH:MM", "HH:MM:SS" or "HH:MM:SS.mmm".
std::optional<std::chrono::milliseconds> timeOfDay(std::string_view s) {
    const auto hour = twoDigits(s, 0);
    const auto minute = twoDigits(s, 3);
    if (!hour || *hour > 23 || !minute || *minute > 59 || s[2] != ':')
        return std::nullopt;
    std::chrono::milliseconds out = std::chrono::hours(*hour) + std::chrono::minutes(*minute);
    if (s.size() == 5)
        return out;
    const auto second = twoDigits(s, 6);
    if (s[5] != ':' || !second || *second > 59)
        return std::nullopt;
    out += std::chrono::seconds(*second);
    if (s.size() == 8)
        return out;
    if (s.size() != 12 || s[8] != '.')
        return std::nullopt;
    const auto millis = decimal(s.substr(9), 0);
    return millis && *millis >= 0 ? std::optional(out + std::chrono::milliseconds(*millis)) : std::nullopt;
}

/// "+HH:MM" or "-HH:MM", less than a day.
std::optional<std::chrono::minutes> offsetOf(std::string_view s) {
    const auto hours = twoDigits(s, 1);
    const auto minutes = twoDigits(s, 4);
    if (s.size() != 6 || (s[0] != '+' && s[0] != '-') || s[3] != ':' || !hours || *hours > 23 || !minutes ||
        *minutes > 59)
        return std::nullopt;
    const std::chrono::minutes out = std::chrono::hours(*hours) + std::chrono::minutes(*minutes);
    return s[0] == '-' ? -out : out;
}

bool isPosition(std::string_view s) {
    const auto parts = split(s);
    if (parts.size() != 2)
        return false;
    const auto lat = decimal(parts[0], 7);
    const auto lon = decimal(parts[1], 7);
    constexpr std::int64_t kRoom = std::numeric_limits<std::int32_t>::max();
    return lat && lon && std::abs(*lat) <= kRoom && std::abs(*lon) <= kRoom &&
           place::isLegal(static_cast<std::int32_t>(*lat), static_cast<std::int32_t>(*lon));
}

bool isName(std::string_view s) {
    return !s.empty() && s.size() <= 8 && std::all_of(s.begin(), s.end(), [](char c) {
        return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
    });
}

/// A file in the folder of frames, and nowhere else.
bool isFrameName(std::string_view s) {
    return !s.empty() && s.size() <= 80 && s.front() != '.' && std::all_of(s.begin(), s.end(), [](char c) {
        return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
               c == '.';
    });
}

/// Reads the lines one after the other; the first error ends it.
class Reader {
public:
    Result<Script> read(std::string_view text) {
        if (text.size() > kLargestScript)
            return expected("at most 8 MiB");
        while (!text.empty()) {
            const auto end = text.find('\n');
            std::string_view line = text.substr(0, end);
            text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
            if (line.ends_with('\r'))
                line.remove_suffix(1);
            ++m_line;
            if (line.find_first_not_of(" \t") == std::string_view::npos)
                continue;
            auto object = journal::parseObject(line);
            if (!object)
                return fail(object.error().code, whyNotRead(object.error()), m_line);
            if (auto done = m_script.session.empty() ? header(*object) : act(std::move(*object)); !done)
                return fail(done.error());
        }
        if (m_script.session.empty())
            return expected(
                R"(a first line such as {"session":"...","seed":1,"start":"2026-09-05T07:30:00-05:00"})");
        return std::move(m_script);
    }

private:
    tl::unexpected<Error> expected(std::string what) const {
        return fail(Code::BadInput, std::move(what), m_line);
    }

    static std::string whyNotRead(const Error& error) {
        switch (error.code) {
        case Code::DuplicateKey:
            return "each member once";
        case Code::NumberNotWhole:
            return "whole numbers (a decimal stands in quotes)";
        case Code::LineTooLong:
            return "at most 16384 bytes a line";
        case Code::NotUtf8:
            return "UTF-8";
        default:
            return "one JSON object";
        }
    }

    Result<void> header(const json::object& o) {
        constexpr std::array<std::string_view, 6> kMembers{"session", "seed",  "start",
                                                           "zone",    "about", "phones"};
        for (const auto& member : o)
            if (std::find(kMembers.begin(), kMembers.end(), std::string_view(member.key())) == kMembers.end())
                return expected("of the header only " + listOf(kMembers));
        const auto session = journal::textIn(o, "session");
        if (!session || session->empty() || session->size() > 200)
            return expected("session: its name");
        const auto seed = journal::numberIn(o, "seed");
        if (!seed || *seed < 0)
            return expected("seed: a whole number");
        const auto start = journal::textIn(o, "start");
        const auto at = start ? time::parseUtc(*start) : fail(Code::NotATime);
        const auto offset =
            start && start->size() >= 6 ? offsetOf(start->substr(start->size() - 6)) : std::nullopt;
        if (!at || !offset)
            return expected("start: with the local offset, such as 2026-09-05T07:30:00-05:00");
        m_script.seed = static_cast<std::uint64_t>(*seed);
        m_script.start = *at;
        m_script.offset = *offset;
        if (const auto* zone = o.if_contains("zone"); zone != nullptr && !zone->is_null()) {
            if (!zone->is_string() || zone->as_string().empty() || zone->as_string().size() > 64)
                return expected("zone: such as America/Chicago, or null");
            m_script.zone = std::string(std::string_view(zone->as_string()));
        }
        if (o.contains("about")) {
            const auto about = journal::textIn(o, "about");
            if (!about || about->size() > 4000)
                return expected("about: a text");
            m_script.about = *about;
        }
        if (const auto* phones = o.if_contains("phones")) {
            if (!phones->is_array() || phones->as_array().empty() || phones->as_array().size() > kMostPhones)
                return expected("phones: one to nine names");
            for (const auto& phone : phones->as_array()) {
                const std::string name(phone.is_string() ? std::string_view(phone.as_string())
                                                         : std::string_view());
                if (!isName(name) || isPhone(name))
                    return expected("phones: different names of 1 to 8 letters and digits");
                m_script.phones.push_back(name);
            }
        } else {
            m_script.phones = {"A"};
        }
        m_script.session = *session;
        m_latest = m_script.start;
        return {};
    }

    bool isPhone(std::string_view name) const {
        return std::find(m_script.phones.begin(), m_script.phones.end(), name) != m_script.phones.end();
    }

    Result<time::Instant> when(const json::object& o) const {
        const auto text = journal::textIn(o, "at");
        const auto outOfOrder = [&] {
            return expected("at: not before " + time::localTime(m_latest, m_script.offset) +
                            ", or with its date, such as 2026-09-06T07:30:00-05:00");
        };
        if (text && text->size() > 12) {
            const auto at = time::parseUtc(*text);
            if (at && *at >= m_latest)
                return *at;
            if (at)
                return outOfOrder();
        } else if (const auto clock = text ? timeOfDay(*text) : std::nullopt) {
            const auto local = m_latest + m_script.offset;
            auto at = std::chrono::floor<std::chrono::days>(local) + *clock;
            if (at < local)
                at += std::chrono::days(1);
            if (at - local > kOverMidnight &&
                at >= std::chrono::floor<std::chrono::days>(local) + std::chrono::days(1))
                return outOfOrder();
            return at - m_script.offset;
        }
        return expected("at: such as 07:42:10, or 2026-09-05T07:42:10-05:00");
    }

    Result<void> act(json::object o) {
        Act act;
        act.line = m_line;
        const auto word = journal::textIn(o, "do");
        const auto forms = actForms();
        const auto form =
            std::find_if(forms.begin(), forms.end(), [&](const ActForm& f) { return word == f.word; });
        if (form == forms.end()) {
            std::vector<std::string_view> words;
            for (const ActForm& f : forms)
                words.push_back(f.word);
            return expected("do: one of " + listOf(words));
        }
        act.what = form->what;
        const auto at = when(o);
        if (!at)
            return fail(at.error());
        act.at = *at;
        act.phone = m_script.phones.front();
        if (o.contains("phone")) {
            act.phone = journal::textIn(o, "phone").value_or("");
            if (!isPhone(act.phone))
                return expected("phone: one of " + listOf(m_script.phones));
        }
        if (auto checked = members(*form, o, act); !checked)
            return checked;
        if (auto checked = together(act); !checked)
            return checked;
        if (o.contains("refused")) {
            if (!journal::claimIn(o, "refused"))
                return expected("refused: true or false");
            act.isRefused = *journal::claimIn(o, "refused");
        }
        if (const auto* wish = o.if_contains("expect")) {
            const auto read = expectation(*wish, *form);
            if (!read)
                return fail(read.error());
            act.expect = *read;
        }
        if (auto checked = look(act); !checked)
            return checked;
        if (o.contains("as")) {
            act.as = journal::textIn(o, "as").value_or("");
            if (act.as.empty() || act.as.size() > 40 || act.isRefused)
                return expected("as: a short name, of an act that is not refused");
            if (!m_labels.insert(act.as).second)
                return expected("as: a name that no act above has");
        }
        m_latest = act.at;
        m_acted.insert(act.phone);
        m_script.acts.push_back(std::move(act));
        return {};
    }

    Result<void> members(const ActForm& form, const json::object& o, Act& act) const {
        constexpr std::array<std::string_view, 7> kCommon{"at",      "do",     "phone", "as",
                                                          "refused", "expect", "say"};
        for (const auto& member : o) {
            const std::string_view name = member.key();
            if (std::find(kCommon.begin(), kCommon.end(), name) != kCommon.end())
                continue;
            const auto own = std::find_if(form.members.begin(), form.members.end(),
                                          [&](const MemberForm& m) { return m.name == name; });
            if (own == form.members.end()) {
                std::vector<std::string_view> names;
                for (const MemberForm& m : form.members)
                    names.push_back(m.name);
                return expected("of " + std::string(form.word) + " only " + listOf(names) + " and " +
                                listOf(kCommon));
            }
            if (!holds(*own, member.value(), act))
                return expected(std::string(name) + ": " + legalForm(*own));
            act.members[name] = member.value();
        }
        for (const MemberForm& m : form.members)
            if (m.isRequired && !act.members.contains(m.name))
                return expected(std::string(form.word) + " needs " + std::string(m.name) + ": " +
                                legalForm(m));
        if (o.contains("say") && !journal::textIn(o, "say"))
            return expected("say: a text, for people");
        return {};
    }

    /// Rules over several members.
    Result<void> together(const Act& act) const {
        const auto has = [&](std::string_view name) { return act.members.contains(name); };
        switch (act.what) {
        case Do::Name:
            if (m_acted.contains(act.phone))
                return expected("name as the first act of its phone");
            break;
        case Do::Spoiled:
            if (has("code") && (has("butterfly") || has("next")))
                return expected("spoiled with code (a tag alone), or with butterfly and next");
            break;
        case Do::Correct:
            if (has("butterfly") == has("line"))
                return expected("correct with butterfly or with line");
            break;
        case Do::Cage:
            if (act.members.empty())
                return expected("cage with name or habit");
            break;
        default:
            break;
        }
        return {};
    }

    /// A look that nothing is expected of would show nothing.
    Result<void> look(const Act& act) const {
        if (act.what != Do::Read)
            return {};
        if (act.isRefused)
            return expected("read without refused, which stands in its expect");
        const bool isOfLabel = journal::textIn(act.members, "for") == "label";
        const Expect wish = act.expect.value_or(Expect());
        if (!wish.verdict && !(isOfLabel && wish.first))
            return expected(isOfLabel ? "read with expect first, or verdict" : "read with expect verdict");
        if (isOfLabel ? wish.code || wish.why || wish.verdict == Verdict::Unlisted : wish.first || wish.count)
            return expected(isOfLabel ? "of a label's expect first and count, or verdict accepted or refused"
                                      : "first and count only of a label");
        if (wish.why && wish.verdict != Verdict::Refused)
            return expected("expect why only where the verdict is refused");
        return {};
    }

    bool isLabel(std::string_view s) const { return s.starts_with('@') && m_labels.contains(s.substr(1)); }

    bool isButterfly(const json::value& value) const {
        if (!value.is_string())
            return false;
        const std::string_view s = value.as_string();
        return s.starts_with('@') ? isLabel(s) : !s.empty() && s.size() <= 200;
    }

    bool holds(const MemberForm& form, const json::value& value, const Act& act) const {
        const std::string_view s =
            value.is_string() ? std::string_view(value.as_string()) : std::string_view();
        const auto isWithin = [&](std::int64_t low, std::int64_t high) {
            return value.is_int64() && value.as_int64() >= low && value.as_int64() <= high;
        };
        switch (form.shape) {
        case Shape::Text:
            return !s.empty() && s.size() <= 200;
        case Shape::AnyText:
            return value.is_string() && s.size() <= 200;
        case Shape::LongText:
            return !s.empty() && s.size() <= 4000;
        case Shape::Count:
            return isWithin(1, 10'000);
        case Shape::Number:
            return isWithin(0, 1'000'000'000);
        case Shape::Skew:
            return isWithin(-kMostSkewS, kMostSkewS);
        case Shape::Claim:
            return value.is_bool();
        case Shape::Decimal:
            return isWithin(-1'000'000, 1'000'000) || (s.size() <= 16 && decimal(s, 3).has_value());
        case Shape::Position:
            return isPosition(s);
        case Shape::Offset:
            return offsetOf(s).has_value();
        case Shape::Zone:
            return value.is_null() || (!s.empty() && s.size() <= 64);
        case Shape::Phone:
            return isPhone(s);
        case Shape::OtherPhone:
            return isPhone(s) && s != act.phone;
        case Shape::Butterfly:
            return isButterfly(value);
        case Shape::Butterflies:
            return value.is_array() && std::all_of(value.as_array().begin(), value.as_array().end(),
                                                   [&](const json::value& v) { return isButterfly(v); });
        case Shape::Frames:
            return value.is_array() && !value.as_array().empty() && value.as_array().size() <= kMostFrames &&
                   std::all_of(value.as_array().begin(), value.as_array().end(), [](const json::value& v) {
                       return v.is_string() && isFrameName(std::string_view(v.as_string()));
                   });
        case Shape::Label:
            return isLabel(s);
        case Shape::Tagger:
            return value.is_null() || isWithin(1, 10'000) || (!s.empty() && s.size() <= 40);
        case Shape::Word: {
            const auto words = split(form.words);
            return std::find(words.begin(), words.end(), s) != words.end();
        }
        }
        return false;
    }

    std::string legalForm(const MemberForm& form) const {
        switch (form.shape) {
        case Shape::Text:
            return "a text of 1 to 200 bytes";
        case Shape::AnyText:
            return "a text of at most 200 bytes";
        case Shape::LongText:
            return "a text of 1 to 4000 bytes";
        case Shape::Count:
            return "a whole number from 1 to 10000";
        case Shape::Number:
            return "a whole number from 0 on";
        case Shape::Skew:
            return "whole seconds, ahead of the true time or, with a minus, behind";
        case Shape::Claim:
            return "true or false";
        case Shape::Decimal:
            return "a whole number, or a decimal in quotes such as \"18.5\"";
        case Shape::Position:
            return "decimal degrees such as \"43.5571 -90.8893\"";
        case Shape::Offset:
            return "such as -05:00";
        case Shape::Zone:
            return "such as America/Chicago, or null";
        case Shape::Phone:
            return "one of " + listOf(m_script.phones);
        case Shape::OtherPhone:
            return "another one of " + listOf(m_script.phones);
        case Shape::Butterfly:
            return "a code, or \"@\" and the name that an act above has by \"as\"";
        case Shape::Butterflies:
            return "a list of codes, or of \"@\" and names that acts above have by \"as\"";
        case Shape::Frames:
            return "a list of 1 to 10 names of files in frames/";
        case Shape::Label:
            return "\"@\" and the name that an act above has by \"as\"";
        case Shape::Tagger:
            return "initials, a visitor's number, or null for the recorder";
        case Shape::Word:
            return "one of " + std::string(form.words);
        }
        return {};
    }

    Result<Expect> expectation(const json::value& value, const ActForm& form) const {
        constexpr std::array<std::string_view, 11> kMembers{"butterfly", "code",    "fate", "next",  "doubts", "held",
                                                            "lines",     "verdict", "why",  "first", "count"};
        const bool isLook = form.what == Do::Read;
        if (!value.is_object())
            return expected("expect: an object of " + listOf(kMembers));
        Expect out;
        for (const auto& member : value.as_object()) {
            const std::string_view name = member.key();
            const auto text = journal::textIn(value.as_object(), name);
            const auto number = journal::numberIn(value.as_object(), name);
            if (name == "doubts" || name == "held" || name == "lines") {
                if (!number || *number < 0)
                    return expected("expect " + std::string(name) + ": a whole number");
                (name == "doubts" ? out.doubts : name == "held" ? out.held : out.lines) = number;
            } else if (name == "code" || name == "next") {
                if (!text || text->size() > 40 || (name == "code" && text->empty()))
                    return expected("expect " + std::string(name) + ": a code such as RKD 014");
                (name == "code" ? out.code : out.next) = std::string(*text);
            } else if (name == "butterfly") {
                if (!isButterfly(member.value()))
                    return expected("expect butterfly: a code, or \"@\" and the name of an act above");
                out.butterfly = std::string(*text);
            } else if (name == "fate") {
                if (!text || std::find(kFates.begin(), kFates.end(), *text) == kFates.end())
                    return expected("expect fate: one of " + listOf(kFates));
                out.fate = std::string(*text);
            } else if (isLook && name == "verdict") {
                if (out.verdict = named(kVerdicts, text); !out.verdict)
                    return expected("expect verdict: one of " + wordsOf(kVerdicts));
            } else if (isLook && name == "why") {
                if (out.why = named(kRefusals, text); !out.why)
                    return expected("expect why: one of " + wordsOf(kRefusals));
            } else if (isLook && name == "first") {
                if (!text || text->empty() || text->size() > 40)
                    return expected("expect first: a code such as RKD 001");
                out.first = std::string(*text);
            } else if (isLook && name == "count") {
                if (!number || *number < 0)
                    return expected("expect count: a whole number");
                out.count = number;
            } else if (std::find(kMembers.begin(), kMembers.end(), name) != kMembers.end()) {
                return expected("expect " + std::string(name) + " only of read");
            } else {
                return expected("of expect only " + listOf(kMembers));
            }
        }
        if (isLook && (out.butterfly || out.fate))
            return expected("expect of read without butterfly and fate, since it is about none");
        if (!isLook && (out.code || out.fate) && !out.butterfly && !form.hasButterfly)
            return expected("expect with butterfly, since " + std::string(form.word) + " is about none");
        return out;
    }

    Script m_script;
    std::int64_t m_line{0};
    time::Instant m_latest{};
    std::set<std::string, std::less<>> m_labels;
    std::set<std::string> m_acted;
};

} // namespace

Result<Script> parseScript(std::string_view text) {
    return Reader().read(text);
}

} // namespace discal::services::sample
