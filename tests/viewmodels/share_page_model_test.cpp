#include "phone.h"
#include "viewmodels/share_page_model.h"

#include "catch_compat.hpp"

#include <QDir>
#include <QFile>

using namespace discal;
using namespace discal::tests;
using viewmodels::SharePageModel;

namespace {

QByteArray contentOf(const QString& path) {
    QFile file(path);
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

} // namespace

TEST_CASE("A safe copy opens as a journal, and a second one gets a name of its own", "[share]") {
    TestPhone phone;
    phone.hold("Porch");
    const QString folder = QString::fromStdString((phone.folder() / "documents" / "Discal").string());
    SharePageModel share(phone.phone(), folder);
    CHECK(share.folderName() == "documents / Discal");
    CHECK(share.butterflies() == 1);
    share.keepCopy();
    CHECK(share.failure()->sentence().isEmpty());
    CHECK(share.done().contains("discal-2026-09-05.discal"));
    share.keepCopy();
    CHECK(share.done().contains("discal-2026-09-05-2.discal"));
    const auto copy = storage::Journal::openForReading(
        storage::Place(QDir(folder).filePath("discal-2026-09-05.discal").toStdString()));
    REQUIRE(copy);
    CHECK(need((*copy)->projections().butterflyCount()) == 1);
}

TEST_CASE("The day as a table has each butterfly once, with place and recorder", "[share]") {
    TestPhone phone;
    services::Tagging::Note note;
    note.sex = "female";
    note.origin = "wild";
    note.measures.note = "worn, \"ragged\"";
    need(phone.phone().tagging.note(note));
    need(phone.phone().tagging.release(std::nullopt));
    phone.wait(std::chrono::minutes(1));
    phone.hold("Porch");
    const QString folder = QString::fromStdString((phone.folder() / "shared").string());
    SharePageModel share(phone.phone(), folder);
    share.keepTable();
    const QByteArray text = contentOf(QDir(folder).filePath("discal-2026-09-05.csv"));
    const auto lines = text.split('\n');
    REQUIRE(lines.size() == 4);
    CHECK(lines[1] == "RKD 001,female,wild,2026-09-05,10:00,-05:00,released,\"Ridge, meadow\",43.5571,-90.8893,150,MH,MH,"
                      "\"worn, \"\"ragged\"\"\"\r");
    CHECK(lines[2].startsWith("RKD 002,male,reared,2026-09-05,10:01,-05:00,held,"));
    CHECK(lines[3].isEmpty());
}

TEST_CASE("A folder that can't be made is said, and can be tried again", "[share]") {
    TestPhone phone;
    const QString inTheWay = QString::fromStdString((phone.folder() / "j.discal").string());
    SharePageModel share(phone.phone(), inTheWay + "/x");
    share.keepCopy();
    CHECK_FALSE(share.failure()->sentence().isEmpty());
    CHECK(share.failure()->canRetry());
    CHECK(share.done().isEmpty());
}
