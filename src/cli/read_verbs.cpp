#include "cli/error_text.h"
#include "cli/reading_words.h"
#include "cli/verbs.h"
#include "cli/workbench.h"
#include "core/exchange/csv.h"
#include "core/text/utf8.h"
#include "reading/barcodes.h"
#include "reading/picture_file.h"
#include "reading/reader.h"
#include "storage/durable_file.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <fstream>
#include <iostream>
#include <memory>
#include <set>

namespace discal::cli {

namespace fs = std::filesystem;
namespace json = boost::json;
using services::Frame;
using services::Reading;
using services::Refusal;
using services::Symbology;
using services::Verdict;
using services::Wanted;

namespace {

struct Typed {
    std::vector<std::string> images;
    std::string codes;
    std::string table;
    bool isTogether{false};
};

/// One line of the answer.
struct Row {
    std::string image;
    std::string kind{"none"}; ///< tag, qr, datamatrix, code128, none
    std::string code;
    std::string text;
    std::string verdict{"error"}; ///< accepted, unlisted, refused, error
    double confidence{0};
    double ms{0};
    std::string why; ///< in words, of what was refused or in error
};

const std::vector<std::string> kColumns{"image", "kind", "code", "text", "verdict", "confidence", "ms"};

/// Files of more bytes hold no list of codes. Our choice: a million codes with room.
constexpr std::uintmax_t kMostListBytes = 16U << 20U;

// --- Which pictures

/// By their names: what can be read, and what people take for a picture and would miss otherwise.
bool isNamedAsPicture(const fs::path& file) {
    constexpr std::array<std::string_view, 13> kEndings{".png", ".jpg", ".jpeg", ".jpe",  ".pgm", ".ppm", ".pnm",
                                                        ".bmp", ".gif", ".heic", ".tiff", ".tif", ".webp"};
    std::string ending = file.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return std::find(kEndings.begin(), kEndings.end(), ending) != kEndings.end();
}

/// Of a folder the pictures in it, by name; of what can't be listed itself, so that reading it tells why.
std::vector<fs::path> picturesAt(const fs::path& typed) {
    std::error_code ec;
    if (!fs::is_directory(typed, ec))
        return {typed};
    std::vector<fs::path> out;
    for (fs::directory_iterator at(typed, ec), end; !ec && at != end; at.increment(ec))
        if (std::error_code none; isNamedAsPicture(at->path()) && !at->is_directory(none))
            out.push_back(at->path());
    std::sort(out.begin(), out.end());
    return out.empty() ? std::vector{typed} : out;
}

// --- Which codes

/// One code a line, or a table with a column `code`.
Result<std::vector<tag::Code>> codesInFile(const fs::path& file) {
    std::error_code ec;
    if (const auto size = fs::file_size(file, ec); !ec && size > kMostListBytes)
        return fail(Code::OutOfRange, "a list of codes of more than 16 MiB");
    const auto text = storage::readWhole(file);
    if (!text)
        return fail(text.error());
    if (!*text)
        return fail(Code::NotFound, file.string());
    exchange::CsvReader reader(**text);
    std::vector<std::string> fields;
    std::optional<std::size_t> column;
    std::vector<tag::Code> codes;
    for (bool isFirst = true;; isFirst = false) {
        const auto read = reader.next(fields);
        if (!read)
            return fail(Code::BadInput, read.error().detail + " in line " + std::to_string(reader.line()));
        if (!*read)
            return codes;
        if (isFirst && (column = exchange::columnOf(fields, "code")))
            continue;
        const std::size_t at = column.value_or(0);
        if (at >= fields.size() || fields[at].find_first_not_of(" \t\r") == std::string::npos)
            continue;
        const auto code = tag::parseAny(fields[at]);
        if (!code)
            return fail(Code::BadInput, "a tag code in line " + std::to_string(reader.line()) + " of " + file.string() +
                                            ", such as " + code.error().detail);
        codes.push_back(*code);
    }
}

/// All that the journal knows. Nothing when it is the user's own and there is none yet.
Result<Wanted> wantedFromJournal(const Call& call) {
    const auto path = journalPath(call);
    std::error_code ec;
    if (call.journal.empty() && (!path || !fs::exists(*path, ec)))
        return Wanted{};
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return fail(bench.error());
    const auto sheets = (*bench)->projections().sheets();
    if (!sheets)
        return fail(sheets.error());
    Wanted wanted;
    for (const tag::Sheet& sheet : *sheets) {
        if (!sheet.run)
            continue;
        wanted.schemes.push_back(sheet.run->scheme);
        for (std::uint32_t i = 0; i < sheet.run->count; ++i)
            wanted.codes.push_back(sheet.run->at(i));
    }
    return wanted;
}

Result<Wanted> wantedFor(const Call& call, const Typed& typed) {
    Result<Wanted> wanted = Wanted{};
    if (typed.codes.empty()) {
        wanted = wantedFromJournal(call);
        if (!wanted)
            return wanted;
    } else {
        auto codes = codesInFile(typed.codes);
        if (!codes)
            return fail(codes.error());
        wanted->codes = std::move(*codes);
    }
    std::set<tag::Scheme> schemes(wanted->schemes.begin(), wanted->schemes.end());
    std::set<tag::Scheme> shapes;
    for (const tag::Scheme& scheme : schemes)
        shapes.insert(scheme.withAllLetters());
    for (const tag::Code& code : wanted->codes)
        if (shapes.insert(tag::Scheme::of(code)).second)
            schemes.insert(tag::Scheme::of(code));
    wanted->schemes.assign(schemes.begin(), schemes.end());
    wanted->hasBarcodes = false; // a picture gets a longer look than a frame of a camera
    return wanted;
}

// --- Rows

std::string_view wordFor(Symbology symbology) {
    switch (symbology) {
    case Symbology::QrCode:
        return "qr";
    case Symbology::DataMatrix:
        return "datamatrix";
    case Symbology::Code128:
        break;
    }
    return "code128";
}

std::string_view wordFor(Verdict verdict) {
    switch (verdict) {
    case Verdict::Accepted:
        return "accepted";
    case Verdict::Unlisted:
        return "unlisted";
    case Verdict::Refused:
        break;
    }
    return "refused";
}

Row rowFor(const std::string& image, const Reading& reading) {
    Row row;
    row.image = image;
    row.verdict = wordFor(reading.verdict);
    const bool isRefused = reading.verdict == Verdict::Refused;
    row.kind = isRefused && reading.why == Refusal::NoTag ? "none" : "tag";
    // Of a refused one no code goes on, lest somebody take it for an answer.
    if (reading.code && !isRefused)
        row.code = reading.code->text();
    row.text = reading.text;
    row.confidence = reading.confidence;
    if (isRefused)
        row.why = reasonFor(reading.why);
    return row;
}

Row rowFor(const std::string& image, const services::Barcode& barcode, const std::set<tag::Code>& listed) {
    Row row;
    row.image = image;
    row.kind = wordFor(barcode.symbology);
    row.text = barcode.text;
    const auto code = tag::parseAny(barcode.text);
    if (code)
        row.code = code->text();
    row.verdict = wordFor(code && listed.contains(*code) ? Verdict::Accepted : Verdict::Unlisted);
    row.confidence = 1;
    return row;
}

std::string decimals(double value, int count) {
    std::array<char, 32> text{};
    const int size = std::snprintf(text.data(), text.size(), "%.*f", count, value);
    return {text.data(), static_cast<std::size_t>(std::clamp(size, 0, 31))};
}

/// On a terminal no byte of a picture steers anything.
std::string shown(std::string text) {
    if (!text::isUtf8(text))
        return "(bytes that are no text)";
    for (char& c : text)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
            c = ' ';
    return text;
}

std::string sentenceFor(const Row& row) {
    std::string out = row.image + ": ";
    if (row.verdict == "refused")
        return out + "not read, " + row.why + (row.text.empty() ? "" : " (" + shown(row.text) + ")");
    if (row.kind != "tag")
        out += row.kind + " ";
    out += (row.code.empty() ? shown(row.text) : row.code) + ", " + row.verdict;
    return row.kind == "tag" ? out + ", " + decimals(100 * row.confidence, 1) + " %" : out;
}

json::object objectFor(const Row& row) {
    const auto orNull = [](const std::string& text) { return text.empty() ? json::value(nullptr) : json::value(text); };
    json::object out;
    out["image"] = row.image;
    out["kind"] = row.kind;
    out["code"] = orNull(row.code);
    out["text"] = text::isUtf8(row.text) ? row.text : std::string();
    out["verdict"] = row.verdict;
    out["confidence"] = row.confidence;
    out["ms"] = row.ms;
    out["why"] = orNull(row.why);
    return out;
}

std::string csvFor(const Row& row) {
    return exchange::csvRow({row.image, row.kind, row.code, row.text, row.verdict, decimals(row.confidence, 4),
                             decimals(row.ms, 1)});
}

/// Where the rows go, as they come.
class Rows {
public:
    explicit Rows(bool isJson) : m_out(isJson) {}

    /// A file that is there is written anew only if it is such a table, or empty: it may be somebody's picture.
    [[nodiscard]] Result<void> openTable(const fs::path& file) {
        const std::string header = exchange::csvRow(kColumns);
        std::error_code ec;
        if (fs::exists(file, ec)) {
            std::string begins(header.size(), '\0');
            std::ifstream in(file, std::ios::binary);
            in.read(begins.data(), static_cast<std::streamsize>(begins.size()));
            if (!fs::is_regular_file(file, ec) || (in.gcount() > 0 && begins != header))
                return fail(Code::Exists, file.string());
        }
        m_table.emplace(file, std::ios::binary | std::ios::trunc);
        *m_table << header;
        m_table->flush();
        return *m_table ? Result<void>{} : fail(Code::Io, file.string());
    }
    void put(const Row& row) {
        if (m_table)
            *m_table << csvFor(row) << std::flush;
        if (row.verdict == "error") {
            tell(shown(row.image) + ": " + row.why);
            m_hasErrors = true;
            m_out.put(objectFor(row));
            return;
        }
        m_out.follow(sentenceFor(row), objectFor(row));
    }
    [[nodiscard]] int end(const std::string& table) {
        if (m_table && !m_table->flush())
            return refuse(Error{Code::Io, table});
        return m_hasErrors ? kRefused : kDone;
    }

private:
    Output m_out;
    std::optional<std::ofstream> m_table;
    bool m_hasErrors{false};
};

std::string whyNotLoaded(const Error& error) {
    if (error.code == Code::OutOfRange)
        return error.detail == "bytes" ? "more than 64 MiB; not read"
                                       : "more than 40 million pixels (" + std::to_string(error.number) + "); not read";
    if (error.code == Code::BadInput)
        return "not " + error.detail;
    if (error.code == Code::NotFound)
        return "there is no such file";
    if (error.code == Code::Corrupt)
        return "damaged (" + error.detail + ")";
    return textOf(error);
}

class Work {
public:
    Work(Wanted wanted, std::unique_ptr<services::CodeReader> reader, bool isTogether, Rows& rows)
        : m_wanted(std::move(wanted)), m_listed(m_wanted.codes.begin(), m_wanted.codes.end()),
          m_reader(std::move(reader)), m_isTogether(isTogether), m_rows(rows) {
        m_reader->expect(m_wanted);
    }

    void read(const fs::path& file) {
        const auto began = std::chrono::steady_clock::now();
        const std::string image = file.string();
        std::vector<Row> rows;
        if (const auto frame = reading::loadPicture(file)) {
            for (const auto& barcode : reading::findBarcodes(*frame, reading::Effort::Picture))
                rows.push_back(rowFor(image, barcode, m_listed));
            if (!m_isTogether)
                m_reader->expect(m_wanted);
            Row tag = rowFor(image, m_reader->look(*frame));
            // A barcode's squares look like a badly seen tag: beside one only what was read is told.
            if (m_isTogether)
                m_last = tag;
            else if (rows.empty() || tag.verdict != "refused")
                rows.push_back(std::move(tag));
        } else {
            rows.emplace_back();
            rows.back().image = image;
            rows.back().why = whyNotLoaded(frame.error());
        }
        const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - began;
        m_ms += took.count();
        for (Row& row : rows) {
            row.ms = took.count();
            m_rows.put(row);
        }
    }
    /// What all pictures together said of the tag, under the name of the last that could be read.
    void end() {
        if (!m_last)
            return;
        m_last->ms = m_ms;
        m_rows.put(*m_last);
    }

private:
    Wanted m_wanted;
    std::set<tag::Code> m_listed;
    std::unique_ptr<services::CodeReader> m_reader;
    bool m_isTogether;
    Rows& m_rows;
    std::optional<Row> m_last;
    double m_ms{0};
};

int read(const Call& call, const Typed& typed) {
    auto wanted = wantedFor(call, typed);
    if (!wanted)
        return refuse(wanted.error());
    auto reader = reading::makeReader();
    if (!reader)
        return refuse(reader.error());
    Rows rows(call.isJson);
    if (!typed.table.empty())
        if (const auto opened = rows.openTable(typed.table); !opened)
            return refuse(opened.error());
    Work work(std::move(*wanted), std::move(*reader), typed.isTogether, rows);
    for (const std::string& image : typed.images)
        for (const fs::path& file : picturesAt(image))
            work.read(file);
    work.end();
    return rows.end(typed.table);
}

} // namespace

void addReadVerbs(CLI::App& app, Call& call) {
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb = addVerb(app, call, "read", "Read tags and barcodes in pictures; needs no network",
                             "read photos/ --codes codes.csv --table read.csv", On::OwnJournal,
                             [&call, typed] { return read(call, *typed); });
    verb.add_option("IMAGE", typed->images, "PNG, JPEG or PNM files, or folders of them")->required()->type_name("");
    verb.add_option("--codes", typed->codes,
                    "the codes that may be met: one a line, or a table with a column code; without it those of the journal")
        ->type_name("FILE");
    verb.add_option("--table", typed->table, "also write a table: image,kind,code,text,verdict,confidence,ms")
        ->type_name("OUT.csv");
    verb.add_flag("--together", typed->isTogether, "the pictures are frames of one tag, in their order: one answer");
}

} // namespace discal::cli
