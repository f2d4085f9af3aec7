#include "catch_compat.hpp"
#include "core/journal/chain.h"
#include "phone.h"
#include "sync/delivery.h"
#include "sync/parcel.h"
#include "sync/parcel_file.h"

#include <SQLiteCpp/Database.h>
#include <fstream>
#include <limits>

using namespace discal;
using namespace discal::tests;
using sync::Blobs;
using sync::deliveryOf;

namespace {

/// Through a parcel's bytes, as everything travels.
storage::Delivery carried(const storage::Delivery& delivery) {
    const auto bytes = sync::encodeParcel(delivery);
    REQUIRE(bytes);
    auto decoded = sync::decodeParcel(*bytes);
    REQUIRE(decoded);
    CHECK(isSame(*decoded, delivery));
    return std::move(*decoded);
}

storage::Delivery ownLines(Phone& phone, std::int64_t from = 1, Blobs blobs = Blobs::With) {
    auto delivery = deliveryOf(phone.journal(), phone.journal().device(), from, blobs);
    REQUIRE(delivery);
    return std::move(*delivery);
}

storage::Blob note(std::uint8_t number, std::string_view content) {
    return storage::makeBlob({number}, content).value();
}

boost::json::object citing(const storage::Blob& blob) {
    return {{"note", boost::json::object{{"blob", journal::hexOf(blob.sha256)}}}};
}

void startedPhone(Phone& phone) {
    phone.write(lineOf("device.started", 1));
    phone.write(lineOf("session.opened", 2));
    phone.write(lineOf("weather.read", 3));
}

} // namespace

TEST_CASE("A chain travels by parcel from one journal into another, byte for byte", "[parcel]") {
    Phone phone(1);
    Phone office(2);
    startedPhone(phone);
    const auto device = phone.journal().device();
    const auto receipt = office.journal().receive(carried(ownLines(phone)));
    REQUIRE(receipt);
    CHECK(receipt->fresh == 3);
    CHECK(receipt->known == 0);
    CHECK(receipt->head == phone.journal().head());
    CHECK(office.lines(device) == phone.lines(device));

    SECTION("the same parcel again is known, not an error") {
        const auto again = office.journal().receive(carried(ownLines(phone)));
        REQUIRE(again);
        CHECK(again->fresh == 0);
        CHECK(again->known == 3);
        CHECK(again->forked == 0);
    }
    SECTION("a parcel that overlaps brings only what is new") {
        phone.write(lineOf("session.closed", 4));
        const auto more = office.journal().receive(carried(ownLines(phone, 2)));
        REQUIRE(more);
        CHECK(more->known == 2);
        CHECK(more->fresh == 1);
        CHECK(office.lines(device) == phone.lines(device));
    }
    SECTION("a parcel that begins where the other ended goes on") {
        phone.write(lineOf("session.closed", 4));
        const auto delivery = ownLines(phone, 4);
        CHECK(delivery.prev == phone.journal().file().hash(device, 3).value().value());
        const auto more = office.journal().receive(carried(delivery));
        REQUIRE(more);
        CHECK(more->known == 0);
        CHECK(more->fresh == 1);
    }
    SECTION("a parcel after a gap is refused, and says what is there") {
        phone.write(lineOf("session.closed", 4));
        phone.write(lineOf("session.opened", 5));
        const auto gap = office.journal().receive(carried(ownLines(phone, 5)));
        REQUIRE_FALSE(gap);
        CHECK(gap.error().code == Code::Gap);
        CHECK(gap.error().number == 3);
        CHECK(office.lines(device).size() == 3);
    }
    SECTION("whoever received it can hand it on") {
        Phone third(3);
        const auto relayed = deliveryOf(office.journal(), device, 1, Blobs::With);
        REQUIRE(relayed);
        CHECK(isSame(*relayed, ownLines(phone)));
        REQUIRE(third.journal().receive(carried(*relayed)));
        CHECK(third.lines(device) == phone.lines(device));
    }
}

TEST_CASE("There is nothing to deliver beyond a signed head, or of a device that is not here", "[parcel]") {
    Phone phone(1);
    const auto device = phone.journal().device();
    const auto code = [&](const journal::DeviceId& whose, std::int64_t from) {
        const auto delivery = deliveryOf(phone.journal(), whose, from, Blobs::With);
        REQUIRE_FALSE(delivery);
        return delivery.error().code;
    };
    CHECK(code(device, 1) == Code::NothingToDo);
    startedPhone(phone);
    CHECK(code(device, 4) == Code::NothingToDo);
    CHECK(code(device, std::numeric_limits<std::int64_t>::max()) == Code::NothingToDo);
    CHECK(code(device, 0) == Code::OutOfRange);
    CHECK(code(device, std::numeric_limits<std::int64_t>::min()) == Code::OutOfRange);
    CHECK(code(keyOf(9).device(), 1) == Code::NotFound);
    CHECK(code(journal::DeviceId(), 1) == Code::NotFound);
    CHECK(ownLines(phone, 3).lines == std::vector{lineOf("weather.read", 3)});
}

TEST_CASE("Lines of any bytes travel as they are", "[parcel]") {
    const auto key = keyOf(5);
    const std::vector<std::string> odd{std::string("\0\0", 2),
                                       "\xFF\xFE\x80",
                                       "not JSON",
                                       "{\"blob\":\"",
                                       std::string(16'384, '\0'),
                                       "\r\r",
                                       lineOf("device.started", 1)};
    Phone office(2);
    const auto receipt = office.journal().receive(carried(signedDelivery(key, odd)));
    REQUIRE(receipt);
    CHECK(receipt->fresh == 7);
    CHECK(office.lines(key.device()) == odd);
    const auto relayed = deliveryOf(office.journal(), key.device(), 1, Blobs::With);
    REQUIRE(relayed);
    CHECK(carried(*relayed).lines == odd);
}

TEST_CASE("Blobs go with the lines that cite them", "[parcel]") {
    Phone phone(1);
    Phone office(2);
    const auto early = note(1, "M.L.");
    const auto late = note(2, std::string(storage::kLargestBlobContent, 'p'));
    phone.write(lineOf("device.started", 1));
    phone.write(lineOf("person.named", 2, citing(early)), {early});
    phone.write(lineOf("weather.read", 3, citing(late)), {late});
    phone.write(lineOf("weather.read", 4, citing(late)));

    SECTION("each once, in the order of the lines") {
        const auto delivery = ownLines(phone);
        REQUIRE(delivery.blobs.size() == 2);
        CHECK(delivery.blobs[0].sha256 == early.sha256);
        CHECK(delivery.blobs[1].sha256 == late.sha256);
        const auto receipt = office.journal().receive(carried(delivery));
        REQUIRE(receipt);
        CHECK(receipt->blobs == 2);
        CHECK(office.journal().file().blob(early.sha256).value().value().content() == "M.L.");
        CHECK(office.journal().file().blob(late.sha256).value().value().bytes == late.bytes);
    }
    SECTION("only those of the lines that go") {
        const auto delivery = ownLines(phone, 3);
        REQUIRE(delivery.blobs.size() == 1);
        CHECK(delivery.blobs[0].sha256 == late.sha256);
    }
    SECTION("none, if none are wanted; they can follow with the same lines") {
        REQUIRE(office.journal().receive(carried(ownLines(phone, 1, Blobs::Without))));
        CHECK_FALSE(office.journal().file().blob(early.sha256).value());
        const auto receipt = office.journal().receive(carried(ownLines(phone)));
        REQUIRE(receipt);
        CHECK(receipt->known == 4);
        CHECK(office.journal().file().blob(early.sha256).value());
    }
    SECTION("one that is not here does not stop the lines") {
        REQUIRE(office.journal().receive(carried(ownLines(phone, 1, Blobs::Without))));
        const auto relayed = deliveryOf(office.journal(), phone.journal().device(), 1, Blobs::With);
        REQUIRE(relayed);
        CHECK(relayed->lines.size() == 4);
        CHECK(relayed->blobs.empty());
    }
    SECTION("one that was erased stays behind, here and there") {
        REQUIRE(office.journal().receive(carried(ownLines(phone))));
        const auto withIt = ownLines(phone);
        phone.write(lineOf("blob.erased", 5, {{"blob", journal::hexOf(early.sha256)}, {"why", "asked"}}));
        const auto delivery = ownLines(phone);
        REQUIRE(delivery.blobs.size() == 1);
        CHECK(delivery.blobs[0].sha256 == late.sha256);
        REQUIRE(office.journal().receive(carried(delivery)));
        CHECK_FALSE(office.journal().file().blob(early.sha256).value());
        // As after a crash between the line and the removal.
        storage::JournalFile::Arrival back;
        back.device = phone.journal().device();
        back.before = phone.journal().head();
        back.blobs = {early};
        REQUIRE(phone.journal().file().arrive(back));
        CHECK(ownLines(phone).blobs.size() == 1);
        // An older parcel that still holds it brings nothing back.
        REQUIRE(office.journal().receive(carried(withIt)));
        CHECK_FALSE(office.journal().file().blob(early.sha256).value());
    }
}

TEST_CASE("Citations are found in lines that other programs wrote, and not in text that looks like one",
          "[parcel]") {
    const auto key = keyOf(5);
    const auto cited = note(1, "cited");
    const auto spaced = note(2, "spaced");
    const auto upper = note(3, "upper");
    const auto quoted = note(4, "quoted");
    const auto longer = note(5, "longer");
    const auto hex = [](const storage::Blob& blob) { return journal::hexOf(blob.sha256); };
    std::string upperHex = hex(upper);
    for (char& c : upperHex)
        c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    auto delivery = signedDelivery(
        key, {"{\"a\":[{\"blob\":\"" + hex(cited) + "\"},{\"blob\" :\t\"" + hex(spaced) + "\"}]",
              "\xFF{\"blob\": \"" + upperHex + "\"}",
              boost::json::serialize(boost::json::object{{"text", "{\"blob\":\"" + hex(quoted) + "\"}"}}),
              "{\"blob\":\"" + hex(longer) + "0\"}", "\"blob\"", "\"blob\":", "\"blob\":\"",
              "\"blob\":\"" + hex(longer), "\"blob\":\"" + std::string(64, 'g') + "\""});
    delivery.blobs = {cited, spaced, upper, quoted, longer};
    Phone office(2);
    REQUIRE(office.journal().receive(delivery));
    const auto relayed = deliveryOf(office.journal(), key.device(), 1, Blobs::With);
    REQUIRE(relayed);
    REQUIRE(relayed->blobs.size() == 3);
    CHECK(relayed->blobs[0].sha256 == cited.sha256);
    CHECK(relayed->blobs[1].sha256 == spaced.sha256);
    CHECK(relayed->blobs[2].sha256 == upper.sha256);
}

TEST_CASE("A chain that went two ways is kept both ways, and said", "[parcel]") {
    const auto key = keyOf(5);
    const std::string first = lineOf("device.started", 1);
    const std::string here = lineOf("weather.read", 2);
    const std::string there = lineOf("weather.read", 3);
    Phone office(2);
    REQUIRE(office.journal().receive(carried(signedDelivery(key, {first, here}))));
    const auto receipt = office.journal().receive(carried(signedDelivery(key, {first, there, "{}"})));
    REQUIRE(receipt);
    CHECK(receipt->known == 1);
    CHECK(receipt->fresh == 0);
    CHECK(receipt->forked == 2);
    CHECK(office.lines(key.device()) == std::vector{first, here});
    const auto forks = office.journal().file().forks();
    REQUIRE(forks);
    REQUIRE(forks->size() == 2);
    CHECK(forks->at(0).line == there);
    CHECK(forks->at(1).line == "{}");
    // What is handed on is the chain that we hold, with its own signature.
    const auto relayed = deliveryOf(office.journal(), key.device(), 1, Blobs::With);
    REQUIRE(relayed);
    CHECK(carried(*relayed).lines == std::vector{first, here});
}

TEST_CASE("A journal that is open for reading delivers others' chains, and its own only once signed",
          "[parcel]") {
    TemporaryFolder folder;
    const storage::Place place(folder.path() / "journal");
    const auto other = keyOf(5);
    journal::DeviceId own;
    {
        storage::Journal::WriteOptions options;
        options.newSeed = [] { return keyOf(1).seed; };
        auto journal = storage::Journal::openForWriting(place, options);
        REQUIRE(journal);
        REQUIRE((*journal)->append({lineOf("device.started", 1)}));
        REQUIRE((*journal)->receive(signedDelivery(other, {"{}"})));
        own = (*journal)->device();
    }
    auto journal = storage::Journal::openForReading(place);
    REQUIRE(journal);
    CHECK(deliveryOf(**journal, other.device(), 1, Blobs::With));
    CHECK(deliveryOf(**journal, own, 1, Blobs::With).error().code == Code::ReadOnly);
}

TEST_CASE("A chain whose key was lost goes as far as it was signed", "[parcel]") {
    TemporaryFolder folder;
    const storage::Place place(folder.path() / "journal");
    storage::Journal::WriteOptions options;
    options.newSeed = [] { return keyOf(1).seed; };
    const auto lost = keyOf(1).device();
    {
        auto journal = storage::Journal::openForWriting(place, options);
        REQUIRE(journal);
        REQUIRE((*journal)->append({lineOf("device.started", 1), lineOf("session.opened", 2)}));
        REQUIRE(deliveryOf(**journal, lost, 1, Blobs::With));
        REQUIRE((*journal)->append({lineOf("weather.read", 3)}));
    }
    std::filesystem::remove(place.key());
    options.newSeed = [] { return keyOf(2).seed; };
    auto journal = storage::Journal::openForWriting(place, options);
    REQUIRE(journal);
    REQUIRE((*journal)->device() == keyOf(2).device());
    const auto delivery = deliveryOf(**journal, lost, 1, Blobs::With);
    REQUIRE(delivery);
    CHECK(carried(*delivery).lines.size() == 2);
    CHECK(deliveryOf(**journal, lost, 3, Blobs::With).error().code == Code::NothingToDo);
}

TEST_CASE("A damaged chain or blob does not leave", "[parcel]") {
    const auto key = keyOf(5);
    const auto blob = note(1, "M.L.");
    auto delivery = signedDelivery(key, {"{}", lineOf("person.named", 2, citing(blob)), "{}"});
    delivery.blobs = {blob};
    Phone office(2);
    REQUIRE(office.journal().receive(delivery));
    auto& database = office.journal().file().database();
    const auto code = [&] { return deliveryOf(office.journal(), key.device(), 1, Blobs::With).error().code; };
    SECTION("a line that is another") {
        database.exec("DROP TRIGGER entry_is_not_updated");
        database.exec("UPDATE entry SET line = CAST('[]' AS BLOB) WHERE seq = 3");
        CHECK(code() == Code::BrokenChain);
    }
    SECTION("a line that is gone") {
        database.exec("DROP TRIGGER entry_is_not_deleted");
        const bool isLast = GENERATE(false, true);
        database.exec(isLast ? "DELETE FROM entry WHERE seq = 3" : "DELETE FROM entry WHERE seq = 2");
        CHECK(code() == Code::BrokenChain);
        CHECK(deliveryOf(office.journal(), key.device(), 3, Blobs::With).error().code ==
              (isLast ? Code::BrokenChain : Code::Corrupt));
    }
    SECTION("a blob with other bytes") {
        database.exec("UPDATE blob SET bytes = zeroblob(20)");
        CHECK(code() == Code::Corrupt);
        CHECK(deliveryOf(office.journal(), key.device(), 1, Blobs::Without));
    }
}

TEST_CASE("A parcel as a file is written whole, never over another, and read back", "[parcel]") {
    TemporaryFolder folder;
    const auto path = folder.path() / "tuesday.discal-parcel";
    const auto delivery = signedDelivery(keyOf(5), {lineOf("device.started", 1), "{}"});
    REQUIRE(sync::writeParcelFile(path, delivery));
    const std::string bytes = readFile(path);
    CHECK(isSame(sync::readParcelFile(path).value(), delivery));
    const auto entries = std::filesystem::directory_iterator(folder.path());
    CHECK(std::distance(begin(entries), end(entries)) == 1);
    const auto permissions = std::filesystem::status(path).permissions();
    CHECK((permissions & (std::filesystem::perms::group_all | std::filesystem::perms::others_all)) ==
          std::filesystem::perms::none);

    SECTION("what is there is not overwritten") {
        const auto again = sync::writeParcelFile(path, signedDelivery(keyOf(6), {"{}"}));
        REQUIRE_FALSE(again);
        CHECK(again.error().code == Code::Exists);
        CHECK(again.error().detail == path.string());
        CHECK(readFile(path) == bytes);
        std::filesystem::create_symlink(folder.path() / "nowhere", folder.path() / "link");
        CHECK(sync::writeParcelFile(folder.path() / "link", delivery).error().code == Code::Exists);
    }
    SECTION("a wrong delivery makes no file") {
        auto wrong = delivery;
        wrong.lines.emplace_back("{}");
        CHECK_FALSE(sync::writeParcelFile(folder.path() / "wrong", wrong));
        CHECK_FALSE(std::filesystem::exists(folder.path() / "wrong"));
    }
    SECTION("a folder that is not there is an error") {
        CHECK(sync::writeParcelFile(folder.path() / "none" / "x", delivery).error().code == Code::Io);
    }
}

TEST_CASE("A path that leads to no parcel is an error that says so", "[parcel]") {
    TemporaryFolder folder;
    const auto code = [](const std::filesystem::path& path) {
        return sync::readParcelFile(path).error().code;
    };
    CHECK(code(folder.path() / "none") == Code::NotFound);
    CHECK(code(folder.path()) == Code::Io);
    CHECK(code("/dev/null") == Code::BadInput);
    CHECK(code("/dev/zero") == Code::OutOfRange); // endless
    std::ofstream(folder.path() / "text") << "Dear office, here are Tuesday's tags.";
    CHECK(code(folder.path() / "text") == Code::BadInput);
}
