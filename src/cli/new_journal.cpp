#include "cli/new_journal.h"

#include "cli/output.h"

#include <cerrno>
#include <stdlib.h>

namespace discal::cli {

namespace fs = std::filesystem;

Result<fs::path> newJournalPath(const Call& call, const std::string& what) {
    if (!call.journal.empty())
        return fs::path(call.journal);
    std::error_code ec;
    std::string folder = (fs::temp_directory_path(ec) / ("discal-" + what + "-XXXXXX")).string();
    if (ec || ::mkdtemp(folder.data()) == nullptr)
        return fail(Code::Io, "no temporary folder could be made", errno);
    return fs::path(folder) / "journal.discal";
}

void followLine(const Call& call, const services::SavedLine& line, const std::string& phone) {
    boost::json::object object{{"seq", line.seq}, {"id", line.id.text()}, {"kind", line.kind}};
    if (!phone.empty())
        object["phone"] = phone;
    if (!line.words.empty())
        object["words"] = line.words;
    Output(call.isJson)
        .follow(std::to_string(line.seq) + " " + line.id.text() + " " + line.kind +
                    (line.words.empty() ? "" : " " + line.words),
                object);
}

} // namespace discal::cli
