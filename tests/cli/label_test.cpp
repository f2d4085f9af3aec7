#include "catch_compat.hpp"
#include "cli/pictures.h"
#include "cli/program.h"

using namespace discal;
using namespace discal::tests;

TEST_CASE("A photographed label is told first, and taken into stock only by who holds the sheet", "[cli][label]") {
    const Desk desk;
    const std::string picture = desk.path("label.pgm");
    writeFile(picture, qrPicture("DISCAL SHEET 1 AAA000-IO RKD001 25 5"));
    const Ran told = desk.run({"stock", "add", "--label", picture});
    CHECK(told.exit == 0);
    CHECK(has(told.out, "RKD 001-025: 25 tags, 5 in a row"));
    CHECK(has(told.out, "nothing was saved"));
    CHECK_FALSE(std::filesystem::exists(desk.journal()));

    const auto proposed = desk.json({"stock", "add", "--label", picture}).front();
    CHECK(proposed.at("scheme").as_string() == "AAA000-IO");
    CHECK_FALSE(proposed.at("added").as_bool());

    CHECK(desk.json({"stock", "add", "--label", picture, "--held"}).front().at("added").as_bool());
    const auto listed = desk.json({"stock", "list"}).front();
    CHECK(listed.at("run").as_string() == "RKD 001-025");
    CHECK(listed.at("scheme").as_string() == "AAA000-IO");
    CHECK(listed.at("per_row").to_number<int>() == 5);
}

TEST_CASE("A picture without a label that can be used adds no sheet", "[cli][label]") {
    const Desk desk;
    const auto refused = [&](const std::string& bytes, const char* says) {
        writeFile(desk.path("label.pgm"), bytes);
        const Ran ran = desk.run({"stock", "add", "--label", desk.path("label.pgm"), "--held"});
        INFO(ran.err);
        CHECK(ran.exit == 1);
        CHECK(has(ran.err, says));
        CHECK_FALSE(std::filesystem::exists(desk.journal()));
    };
    refused(emptyPicture(), "a barcode");
    refused("no picture", "a picture (PNG, JPEG, PNM)");
    refused(qrPicture("RKD 001"), "not how many");
    refused(qrPicture("https://example.org"), "a sheet's label");
    refused(qrPicture("RKD 025 - RKD 001"), "does not fit");
    refused(qrPicture("DISCAL SHEET 9 X"), "later Discal");
    CHECK(desk.run({"stock", "add"}).exit == 2);
    CHECK(desk.run({"stock", "add", "RKD 001"}).exit == 2);
    CHECK(desk.run({"stock", "add", "RKD 001", "25", "--held"}).exit == 2);
    CHECK(desk.run({"stock", "add", "RKD 001", "25", "--label", desk.path("label.pgm")}).exit == 2);
}

#if DISCAL_DRAWS

TEST_CASE("A sheet's label is drawn as PNG and PDF, without a display, and reads back", "[cli][label]") {
    const Desk desk;
    (void)desk.done({"station", "found", "Thistledown Ridge Nature Centre"});
    (void)desk.done({"stock", "add", "RKD 001", "25", "--per-row", "5", "--scheme", "AAA000-IO"});
    const auto drawn = desk.json({"stock", "label", "RKD 003", desk.path("sheet.png")}).front();
    CHECK(drawn.at("text").as_string() == "DISCAL SHEET 1 AAA000-IO RKD001 25 5");
    (void)desk.done({"stock", "label", "RKD 001..RKD 010", desk.path("part.png"), "--paper", "a4"});
    (void)desk.done({"stock", "label", "RKD 001", desk.path("sheet.pdf"), "--paper", "letter"});
    CHECK(readFile(desk.path("sheet.pdf")).starts_with("%PDF-"));

    const Desk other("other.discal");
    CHECK(other.json({"stock", "add", "--label", desk.path("sheet.png"), "--held"}).front().at("added").as_bool());
    CHECK(other.json({"stock", "list"}).front().at("scheme").as_string() == "AAA000-IO");
    CHECK(other.json({"stock", "add", "--label", desk.path("part.png")}).front().at("count").to_number<int>() == 10);

    CHECK(desk.run({"stock", "label", "RKD 001", desk.path("sheet.png")}).exit == 1); // there already
    CHECK(desk.run({"stock", "label", "RKE 001", desk.path("other.png")}).exit == 1);
    CHECK(desk.run({"stock", "label", "RKD 001", desk.path("sheet.gif")}).exit == 2);
    CHECK(desk.run({"stock", "label", "RKD 001", desk.path("x.png"), "--paper", "a5"}).exit == 2);
    CHECK(desk.run({"stock", "label", "RKD 001", desk.path("nowhere/x.pdf")}).exit == 1);
}

#else

TEST_CASE("Without Qt the verb that draws labels says so", "[cli][label]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "25"});
    const Ran ran = desk.run({"stock", "label", "RKD 001", desk.path("sheet.pdf")});
    CHECK(ran.exit == 1);
    CHECK(has(ran.err, "built without Qt"));
    CHECK_FALSE(std::filesystem::exists(desk.path("sheet.pdf")));
}

#endif
