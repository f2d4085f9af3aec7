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

TEST_CASE("What is not saved is put beside the copy in words, with time and place", "[share]") {
    TestPhone phone;
    phone.hold("Porch");
    const QDir folder(QString::fromStdString((phone.folder() / "documents").string()));
    SharePageModel share(phone.phone(), folder.path());
    share.setUnsaved({"", ""});
    CHECK(share.unsaved().isEmpty());
    share.keepCopy();
    CHECK(folder.entryList(QDir::Files) == QStringList{"discal-2026-09-05.discal"});

    share.setUnsaved({"RKD 002, female, is not saved.", ""});
    const QString said = share.unsaved();
    const auto now = phone.phone().clock().now();
    CHECK(said == "5 September 2026, " +
                      QString::fromStdString(time::localTime(now.wall, now.offset)).left(5) + ", " +
                      phone.phone().hereText() + ": RKD 002, female, is not saved.");
    // As long as it is the same, it is of the time at which it happened.
    phone.wait(std::chrono::minutes(10));
    share.setUnsaved({"RKD 002, female, is not saved.", ""});
    share.keepCopy();
    CHECK(share.done().contains("discal-2026-09-05-not-saved.txt"));
    CHECK(QString::fromUtf8(contentOf(folder.filePath("discal-2026-09-05-not-saved.txt"))) == said + "\n");

    share.setUnsaved({"", ""});
    CHECK(share.unsaved().isEmpty());
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
