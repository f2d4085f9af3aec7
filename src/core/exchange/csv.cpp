#include "core/exchange/csv.h"

#include "core/exchange/day_table.h"

#include <algorithm>

namespace discal::exchange {

namespace {

std::string plainName(std::string_view name) {
    const auto begin = name.find_first_not_of(" \t");
    if (begin == std::string_view::npos)
        return {};
    std::string out(name.substr(begin, name.find_last_not_of(" \t") - begin + 1));
    for (char& c : out)
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c - 'A' + 'a');
    return out;
}

} // namespace

CsvReader::CsvReader(std::string_view text) : m_text(text) {
    if (m_text.starts_with("\xEF\xBB\xBF"))
        m_at = 3;
}

Result<std::string> CsvReader::quotedField() {
    std::string field;
    for (++m_at; m_at < m_text.size(); ++m_at) {
        if (m_text[m_at] == '\n')
            ++m_line;
        if (m_text[m_at] != '"') {
            field += m_text[m_at];
        } else if (m_at + 1 < m_text.size() && m_text[m_at + 1] == '"') {
            field += '"';
            ++m_at;
        } else {
            ++m_at;
            return field;
        }
    }
    return fail(Code::BadInput, "a quote that is closed", static_cast<std::int64_t>(m_rowLine));
}

Result<bool> CsvReader::next(std::vector<std::string>& fields) {
    fields.clear();
    if (m_at >= m_text.size())
        return false;
    m_rowLine = m_line;
    for (;;) {
        if (m_at < m_text.size() && m_text[m_at] == '"') {
            auto field = quotedField();
            const bool isClosed =
                m_at >= m_text.size() || m_text[m_at] == ',' || m_text[m_at] == '\n' || m_text[m_at] == '\r';
            if (!field || !isClosed) {
                m_at = m_text.size();
                return field ? fail(Code::BadInput, "a comma or a line's end after a quote",
                                    static_cast<std::int64_t>(m_rowLine))
                             : fail(field.error());
            }
            fields.push_back(std::move(*field));
        } else {
            const auto end = std::min(m_text.find_first_of(",\n", m_at), m_text.size());
            auto field = m_text.substr(m_at, end - m_at);
            if (field.ends_with('\r') && (end == m_text.size() || m_text[end] == '\n'))
                field.remove_suffix(1);
            fields.emplace_back(field);
            m_at = end;
        }
        if (m_at < m_text.size() && m_text[m_at] == ',') {
            ++m_at;
            continue;
        }
        break;
    }
    if (m_at < m_text.size() && m_text[m_at] == '\r')
        ++m_at;
    if (m_at < m_text.size() && m_text[m_at] == '\n')
        ++m_at;
    ++m_line;
    return true;
}

std::optional<std::size_t> columnOf(const std::vector<std::string>& header, std::string_view name) {
    const auto found = std::find_if(header.begin(), header.end(),
                                    [&](const std::string& h) { return plainName(h) == name; });
    return found == header.end() ? std::nullopt
                                 : std::optional(static_cast<std::size_t>(found - header.begin()));
}

std::string csvRow(const std::vector<std::string>& fields) {
    std::string out;
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if (i > 0)
            out += ',';
        out += quoted(fields[i]);
    }
    return out + "\r\n";
}

} // namespace discal::exchange
