#pragma once

#include "core/error.h"

#include <boost/json.hpp>
#include <string>
#include <string_view>
#include <vector>

/// What goes to the person or program that called: plain text, or JSON with one object a line. Never both.
namespace discal::cli {

class Output {
public:
    enum class Form { Plain, Json };
    explicit Output(bool isJson) : m_form(isJson ? Form::Json : Form::Plain) {}
    [[nodiscard]] bool isJson() const { return m_form == Form::Json; }

    /// A line of plain text; nothing under --json.
    void say(std::string_view line) const;
    /// A line of JSON; nothing in plain form.
    void put(const boost::json::object& object) const;
    /// The same said both ways, and out before it returns: for lines that somebody follows while we work.
    void follow(std::string_view line, const boost::json::object& object) const;

private:
    Form m_form;
};

/// To stderr, in plain words in either form.
void tell(std::string_view sentence);

/// The reason on stderr; returns kRefused.
int refuse(const Error& error);
int refuse(std::string_view sentence);
/// What was typed can't be meant; returns kUsage.
int misunderstood(std::string_view sentence);

/// Text put into columns: `text`, then blanks up to `width` characters (code points), and one more.
[[nodiscard]] std::string column(std::string_view text, std::size_t width);
/// "1 tag", "25 tags"
[[nodiscard]] std::string counted(std::int64_t count, std::string_view one, std::string_view many);
/// "a, b and c"
[[nodiscard]] std::string listed(const std::vector<std::string>& items);

} // namespace discal::cli
