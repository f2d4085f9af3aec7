#include "cli/table.h"

#include "cli/call.h"
#include "cli/output.h"
#include "storage/durable_file.h"

#include <iostream>
#include <optional>

namespace discal::cli {

namespace {

/// Gathers what goes to stdout, since a table may be long.
class Out {
public:
    ~Out() { flush(); }
    void put(std::string_view text) {
        m_text += text;
        if (m_text.size() > kMost)
            flush();
    }
    void flush() {
        std::cout.write(m_text.data(), static_cast<std::streamsize>(m_text.size()));
        std::cout.flush();
        m_text.clear();
    }

private:
    static constexpr std::size_t kMost = 1U << 16U;
    std::string m_text;
};

std::string asJson(const std::vector<std::string>& header, const std::vector<std::string>& fields) {
    boost::json::object object;
    for (std::size_t i = 0; i < header.size(); ++i)
        object[header[i]] = i < fields.size() ? fields[i] : std::string();
    return boost::json::serialize(object) + "\n";
}

} // namespace

int runTable(const TableWork& work, bool isJson) {
    const auto text = storage::readWhole(work.file);
    if (!text)
        return refuse(text.error());
    if (!*text)
        return refuse("There is no file " + work.file + ".");
    exchange::CsvReader reader(**text);
    std::vector<std::string> header;
    const auto first = reader.next(header);
    if (!first || !*first)
        return refuse(work.file + " has no header; it begins with the names of its columns.");
    std::vector<std::optional<std::size_t>> columns;
    for (const std::string& name : work.needed) {
        columns.push_back(exchange::columnOf(header, name));
        if (!columns.back())
            return refuse(work.file + " has no column " + name + "; it needs " + listed(work.needed) + ".");
    }
    for (const std::string& name : work.wished)
        columns.push_back(exchange::columnOf(header, name));

    const std::size_t given = header.size();
    std::vector<std::string> names = header;
    names.insert(names.end(), work.added.begin(), work.added.end());
    names.emplace_back("error");
    Out out;
    if (!isJson)
        out.put(exchange::csvRow(names));
    bool isRefused = false;
    std::vector<std::string> fields;
    for (;;) {
        const auto read = reader.next(fields);
        if (!read) {
            out.flush();
            return refuse("Line " + std::to_string(reader.line()) + ": not a row of a table; expected " +
                          read.error().detail + ". What follows was not read.");
        }
        if (!*read)
            break;
        if (fields.size() == 1 && fields.front().empty())
            continue; // an empty line
        std::vector<std::string> asked;
        for (const auto& column : columns)
            asked.push_back(column && *column < fields.size() ? fields[*column] : std::string());
        const auto added = work.row(asked);
        fields.resize(given);
        if (added) {
            fields.insert(fields.end(), added->begin(), added->end());
        } else {
            isRefused = true;
            fields.resize(given + work.added.size());
        }
        fields.resize(given + work.added.size());
        fields.push_back(added ? std::string() : work.why(added.error()));
        if (!added) {
            out.flush();
            tell("Line " + std::to_string(reader.line()) + ": " + fields.back());
        }
        out.put(isJson ? asJson(names, fields) : exchange::csvRow(fields));
    }
    return isRefused ? kRefused : kDone;
}

} // namespace discal::cli
