#include "cli/output.h"

#include "cli/call.h"
#include "cli/error_text.h"

#include <algorithm>
#include <iostream>

namespace discal::cli {

void Output::say(std::string_view line) const {
    if (!isJson())
        std::cout << line << '\n';
}

void Output::put(const boost::json::object& object) const {
    if (isJson())
        std::cout << boost::json::serialize(object) << '\n';
}

void Output::follow(std::string_view line, const boost::json::object& object) const {
    say(line);
    put(object);
    std::cout.flush();
}

void tell(std::string_view sentence) {
    std::cout.flush();
    std::cerr << sentence << '\n';
}

int refuse(const Error& error) {
    return refuse(textOf(error));
}

int refuse(std::string_view sentence) {
    tell(sentence);
    return kRefused;
}

int misunderstood(std::string_view sentence) {
    tell(sentence);
    return kUsage;
}

std::string column(std::string_view text, std::size_t width) {
    const auto characters = static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
    std::string out(text);
    out.append(characters < width ? width - characters : 0, ' ');
    out += ' ';
    return out;
}

std::string counted(std::int64_t count, std::string_view one, std::string_view many) {
    return std::to_string(count) + " " + std::string(count == 1 ? one : many);
}

std::string listed(const std::vector<std::string>& items) {
    std::string out;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (i > 0)
            out += i + 1 == items.size() ? " and " : ", ";
        out += items[i];
    }
    return out;
}

} // namespace discal::cli
