#include "catch_compat.hpp"
#include "reference.h"
#include "screen.h"
#include "services/desk.h"

#include "services/sample/replay.h"
#include "services/sample/replay_phone.h"
#include "services/sample/replay_positions.h"
#include "services/sample/script.h"

#include <QTest>
#include <cmath>
#include <functional>
#include <iostream>
#include <map>
#include <set>

// The three sample days with nothing but taps: what a script says is done on the pages, by the names that a screen reader
// reads, and in the end the butterflies, tags and sessions are those of the same day replayed through the services.
//
// Not by taps, since no page has them yet: parcels, enrolling a device, settling a doubt and correcting a butterfly of
// another phone (done through the services), looks at frames (passed over, since no camera is here; the codes that they
// gave are typed), rearing lots, and the origin of a recapture (left out, and not compared).

using namespace discal;
using namespace discal::tests;
using namespace std::chrono_literals;
using services::sample::Act;
using services::sample::Do;

namespace {

namespace json = boost::json;
namespace fs = std::filesystem;

fs::path sampleSession(const std::string& name) {
    return fs::path(__FILE__).parent_path().parent_path().parent_path() / "sample-sessions" / name;
}

std::string text(const Act& act, const char* name) {
    const auto* value = act.members.if_contains(name);
    return value != nullptr && value->is_string() ? std::string(value->as_string()) : std::string();
}
/// A number, or a decimal in quotes, as somebody types it.
QString typed(const Act& act, const char* name) {
    const auto* value = act.members.if_contains(name);
    if (value == nullptr || value->is_null())
        return {};
    return value->is_string() ? QString::fromStdString(std::string(value->as_string()))
                              : QString::number(value->as_int64());
}
bool has(const Act& act, const char* name) { return act.members.contains(name); }

/// One phone of a day, and the thumb on it.
class Thumb {
public:
    Thumb(const std::string& name, const fs::path& folder, const services::sample::Script& script,
          services::sample::Track track)
        : m_name(name), m_path(folder / (name + ".discal")), m_randomness(script.seed, "tapped lines " + name),
          m_keys(script.seed, "tapped device " + name), clock(name, script.start, script.offset, script.zone),
          m_positions(clock, std::move(track)) {
        begin();
        need(m_phone->writer.ensureStarted({"phone", "discal", script.session}));
        phone().changed();
    }
    ~Thumb() { end(); }

    [[nodiscard]] viewmodels::FieldPhone& phone() { return *m_phone; }
    [[nodiscard]] app::App& app() { return *m_app; }
    [[nodiscard]] const std::string& name() const { return m_name; }
    void restart() {
        end();
        clock.reboot();
        begin();
        need(m_phone->resume());
        m_phone->changed();
        app::settle(window());
    }
    void waitUntil(time::Instant at) {
        // As the page's own timer does once a second, as long as that may change anything
        while (app().tag.stage() == viewmodels::TagPageModel::InHand && clock.trueTime() + 1s < at) {
            clock.setTrueTime(clock.trueTime() + 1s);
            app().tag.refreshStatus();
        }
        clock.setTrueTime(std::max(at, clock.trueTime()));
        app().tag.refreshStatus();
        app::settle(window());
    }

    // On the screen ---------------------------------------------------------------------------------------------

    /// What is called so, or begins with that; scrolled to where it isn't in sight.
    [[nodiscard]] std::optional<Target> find(const QString& called) {
        if (const auto target = inSight(called))
            return target;
        for (QQuickItem* page : flickables(window()->contentItem()))
            for (qreal y = page->property("originY").toReal(); y <= page->property("contentHeight").toReal(); y += 150) {
                page->setProperty("contentY", y);
                app::settle(window());
                if (const auto target = inSight(called))
                    return target;
            }
        return std::nullopt;
    }
    void press(const QString& called) {
        draw();
        auto target = find(called);
        for (QRectF area; target && area != target->area; target = find(called)) {
            area = target->area;
            draw();
        }
        if (!target)
            (void)targetNamed(window(), called); // says what there is
        clock.setTrueTime(clock.trueTime() + 500ms);
        tap(window(), *target);
        app::settle(window());
        ++taps;
    }
    void type(const QString& field, const QString& words) {
        // Of several phones the one in the hand
        window()->requestActivate();
        (void)QTest::qWaitForWindowActive(window());
        press(field);
        QTest::keyClick(window(), Qt::Key_A, Qt::ControlModifier);
        QTest::keyClick(window(), Qt::Key_Delete);
        for (const QChar letter : words)
            QTest::keyClick(window(), letter.toLatin1());
        app::settle(window());
    }
    [[nodiscard]] bool isOpen() { return !window()->property("opened").toString().isEmpty(); }
    void turnTo(const QString& page) {
        while (isOpen())
            press(QStringLiteral("back"));
        for (const Target& target : targetsIn(window()))
            if (isTab(target) && target.name.startsWith(page)) {
                clock.setTrueTime(clock.trueTime() + 500ms);
                tap(window(), target);
                ++taps;
                return;
            }
        QString there;
        for (const Target& target : targetsIn(window()))
            there += target.role + QLatin1String(" ") + target.name + QLatin1String("; ");
        throw std::runtime_error("no page " + page.toStdString() + ", but: " + there.toStdString());
    }

    // What is done often ----------------------------------------------------------------------------------------

    /// The Tag page offers a code and two sexes; whatever it asks before is answered.
    void makeReady(const std::optional<std::string>& origin, const QString& code) {
        using Stage = viewmodels::TagPageModel::Stage;
        turnTo(QStringLiteral("Tag"));
        for (int questions = 0; app().tag.stage() != Stage::Ready && questions < 6; ++questions)
            switch (app().tag.stage()) {
            case Stage::Origin:
                press(origin == "reared" ? QStringLiteral("reared") : QStringLiteral("wild"));
                break;
            case Stage::Still:
                press(QStringLiteral("Yes, still so"));
                break;
            case Stage::Check:
                press(code.isEmpty() ? app().tag.letters() + QLatin1Char(' ') + app().tag.digits() : code);
                break;
            case Stage::InHand:
                // She is up again, and the page has seen it.
                clock.setTrueTime(clock.trueTime() + 2min);
                app().tag.refreshStatus();
                app::settle(window());
                break;
            default:
                throw std::runtime_error("no tag");
            }
        if (origin && app().tag.isReared() != (*origin == "reared"))
            press(QStringLiteral("origin"));
    }
    /// The one that was noted last keeps the page, or is taken up again.
    void takeUp() {
        turnTo(QStringLiteral("Tag"));
        if (app().tag.isLastOpen())
            press(app().tag.lastText());
    }
    void happened(const QString& what) {
        takeUp();
        press(QStringLiteral("something else happened"));
        press(what);
    }
    void openStory(const QString& code) {
        turnTo(QStringLiteral("Today"));
        press(code);
    }

    int taps{0};
    /// While one is in hand the receiver runs fast and the screen may stay lit.
    std::chrono::milliseconds inHand{0};

private:
    [[nodiscard]] QQuickWindow* window() { return m_app->window(); }
    /// A page that has just opened is laid out when it is drawn.
    void draw() {
        app::settle(window());
        (void)window()->grabWindow();
        app::settle(window());
    }
    [[nodiscard]] static std::vector<QQuickItem*> flickables(QQuickItem* item) {
        std::vector<QQuickItem*> out;
        if (!item->isVisible())
            return out;
        if (item->inherits("QQuickFlickable") && item->property("contentHeight").toReal() > item->height())
            out.push_back(item);
        for (QQuickItem* child : item->childItems())
            for (QQuickItem* found : flickables(child))
                out.push_back(found);
        return out;
    }
    /// A key of the bar below.
    [[nodiscard]] static bool isTab(const Target& target) {
        for (const QQuickItem* item = target.item; item != nullptr; item = item->parentItem())
            if (item->property("isUpright").isValid())
                return true;
        return false;
    }
    [[nodiscard]] std::optional<Target> inSight(const QString& called) {
        std::optional<Target> beginning;
        for (Target& target : targetsIn(window())) {
            if (target.name == called && !isTab(target))
                return target;
            if (!beginning && target.name.startsWith(called) && !isTab(target))
                beginning = target;
        }
        return beginning;
    }
    void begin() {
        storage::Journal::WriteOptions options;
        options.program = "tapped day";
        options.newSeed = [this] { return m_keys.bytes<32>(); };
        m_journal = need(storage::Journal::openForWriting(storage::Place(m_path), options));
        m_phone = std::make_unique<viewmodels::FieldPhone>(*m_journal, clock, m_randomness, m_positions);
        m_app = std::make_unique<app::App>(*m_phone, nullptr);
        m_app->settings.setProperty("reducedMotion", true);
        QObject::connect(&m_app->tag, &viewmodels::TagPageModel::recordBegan, [this] { m_handSince = clock.trueTime(); });
        QObject::connect(&m_app->tag, &viewmodels::TagPageModel::recordEnded, [this] {
            inHand += clock.trueTime() - std::exchange(m_handSince, clock.trueTime());
        });
        if (!m_app->load())
            throw std::runtime_error("the window can't be loaded");
        app::settle(window());
    }
    void end() {
        m_app.reset();
        m_phone.reset();
        m_journal.reset();
    }

    const std::string m_name;
    fs::path m_path;
    services::sample::SeededRandomness m_randomness;
    services::sample::SeededRandomness m_keys;

public:
    services::sample::ReplayClock clock;

private:
    services::sample::ReplayPositions m_positions;
    time::Instant m_handSince{};
    std::unique_ptr<storage::Journal> m_journal;
    std::unique_ptr<viewmodels::FieldPhone> m_phone;
    std::unique_ptr<app::App> m_app;
};

class TappedDay {
public:
    explicit TappedDay(const std::string& name) {
        application();
        const fs::path folder = sampleSession(name);
        m_script = need(services::sample::parseScript(readFile(folder / "session.jsonl")));
        for (const std::string& phone : m_script.phones) {
            services::sample::Track track;
            if (phone == m_script.phones.front()) {
                if (fs::exists(folder / "track.nmea"))
                    track = need(services::sample::trackFromNmea(readFile(folder / "track.nmea")));
                else if (fs::exists(folder / "fixes.csv"))
                    track = need(services::sample::trackFromCsv(readFile(folder / "fixes.csv")));
            }
            m_thumbs.push_back(std::make_unique<Thumb>(phone, m_folder.path(), m_script, std::move(track)));
        }
        for (const Act& act : m_script.acts) {
            INFO("session.jsonl:" << act.line);
            perform(act);
        }
    }

    [[nodiscard]] std::vector<std::unique_ptr<Thumb>>& thumbs() { return m_thumbs; }

private:
    Thumb& thumb(const std::string& phone) {
        for (auto& thumb : m_thumbs)
            if (thumb->name() == phone)
                return *thumb;
        throw std::runtime_error("no phone " + phone);
    }

    void perform(const Act& act) {
        Thumb& on = thumb(act.phone.empty() ? m_script.phones.front() : act.phone);
        on.waitUntil(act.at);
        // The first start asks for a sheet before anything else: what comes before in the script waits for it.
        if (on.app().sheets.isFirstStart() && act.what != Do::Sheet && act.what != Do::Parcel) {
            if (!act.isRefused)
                m_waiting[on.name()].push_back(act);
            return;
        }
        act.isRefused ? void() : run(act, on);
        for (auto& other : m_thumbs)
            if (!other->app().sheets.isFirstStart())
                for (const Act& waiting : std::exchange(m_waiting[other->name()], {}))
                    run(waiting, *other);
    }

    void run(const Act& act, Thumb& on) {
        if (const auto does = m_does.find(act.what); does != m_does.end())
            does->second(act, on);
        else
            throw std::runtime_error("no taps for " + std::string(services::sample::wordOf(act.what)));
    }

    /// A code as written, or that of "@label".
    [[nodiscard]] QString codeOf(const std::string& ref) const {
        return QString::fromStdString(ref.starts_with('@') ? m_labels.at(ref.substr(1)) : ref);
    }
    void tagger(const Act& act, Thumb& on) {
        if (!has(act, "tagger"))
            return;
        const auto& who = act.members.at("tagger");
        QString name = who.is_null()     ? QStringLiteral("MH")
                       : who.is_string() ? QString::fromStdString(std::string(who.as_string()))
                                         : QStringLiteral("visitor %1").arg(who.as_int64());
        if (on.app().tag.property("tagger").toString() == name)
            return;
        on.press(QStringLiteral("tagger"));
        on.press(name);
    }
    static bool isMeasured(const Act& act) {
        return has(act, "forewing_mm") || has(act, "wear") || has(act, "mated") || has(act, "sample") || has(act, "text");
    }
    static void fillMeasures(const Act& act, Thumb& on) {
        if (has(act, "forewing_mm"))
            on.type(QStringLiteral("Forewing, mm"), typed(act, "forewing_mm"));
        if (has(act, "sample"))
            on.type(QStringLiteral("Parasite sample"), typed(act, "sample"));
        if (has(act, "wear"))
            on.press(QStringLiteral("Wear of the wings ") + typed(act, "wear"));
        if (has(act, "mated"))
            on.press(act.members.at("mated").as_bool() ? QStringLiteral("Mated? yes") : QStringLiteral("Mated? no"));
        if (has(act, "text"))
            on.type(QStringLiteral("Note"), typed(act, "text"));
        on.press(QStringLiteral("Write it down"));
    }
    void note(const Act& act, Thumb& on) {
        QString code;
        if (has(act, "code"))
            code = QString::fromStdString(need(tag::parseAny(text(act, "code"))).text());
        else if (act.expect && act.expect->code)
            code = QString::fromStdString(*act.expect->code);
        on.makeReady(has(act, "origin") ? std::optional(text(act, "origin")) : std::nullopt, has(act, "code") ? QString() : code);
        tagger(act, on);
        if (has(act, "code")) {
            // Typed by hand: the last digits, on the sheet's page.
            on.press(QStringLiteral("next tag"));
            on.press(QStringLiteral("type the last digits"));
            for (const QChar digit : code.section(QLatin1Char(' '), -1))
                on.press(digit);
            on.press(code);
        }
        on.press(text(act, "sex") == "unknown" ? QStringLiteral("can’t tell") : QString::fromStdString(text(act, "sex")));
        REQUIRE(on.app().tag.stage() == viewmodels::TagPageModel::InHand);
        const QString noted = on.app().tag.handLetters() + QLatin1Char(' ') + on.app().tag.handDigits();
        if (!code.isEmpty())
            CHECK(noted == code);
        if (!act.as.empty()) {
            m_labels[act.as] = noted.toStdString();
            const auto hand = need(on.phone().tagging.find(std::nullopt));
            m_notes[act.as] = {on.name(), journal::Uuid::parse(hand.noteLine).value()};
        }
        if (isMeasured(act)) {
            on.press(QStringLiteral("something else happened"));
            on.press(QStringLiteral("Measure, or add a note"));
            fillMeasures(act, on);
        }
    }

    const std::map<Do, std::function<void(const Act&, Thumb&)>> m_does{
        {Do::Name,
         [](const Act& act, Thumb& on) {
             on.turnTo("Set up");
             on.press("This phone");
             on.type("What it is called", typed(act, "name"));
             on.press("Keep it");
         }},
        {Do::Found,
         [](const Act& act, Thumb& on) {
             on.turnTo("Set up");
             on.press("Station");
             on.type("Name of the station", typed(act, "name"));
             on.press("Keep it");
         }},
        {Do::Person,
         [](const Act& act, Thumb& on) {
             on.turnTo("Tag");
             const QString before = on.app().tag.property("tagger").toString();
             on.press("tagger");
             on.type("Somebody else, by initials", typed(act, "initials"));
             on.press("Add");
             on.press("tagger");
             on.press(before);
         }},
        {Do::Recorder,
         [](const Act& act, Thumb& on) {
             on.turnTo("Set up");
             on.press("Who writes");
             on.type("Somebody else, by initials", typed(act, "initials"));
             on.press("Add");
         }},
        {Do::Visitor,
         [](const Act& act, Thumb& on) {
             on.turnTo("Tag");
             on.press("tagger");
             on.press(QStringLiteral("visitor %1").arg(act.members.at("number").as_int64()));
         }},
        {Do::Site,
         [](const Act& act, Thumb& on) {
             on.turnTo("Set up");
             on.press("Site");
             on.press("Add a site");
             on.type("Its name", typed(act, "name"));
             on.press("Where is it? type it");
             const QString position = typed(act, "position");
             on.type("Latitude", position.section(QLatin1Char(' '), 0, 0));
             on.type("Longitude", position.section(QLatin1Char(' '), 1, 1));
             on.type("Known within, m", typed(act, "uncertainty_m"));
             on.type("Its radius, m", typed(act, "radius_m"));
             on.press("Add it");
         }},
        {Do::ChooseSite,
         [](const Act& act, Thumb& on) {
             on.turnTo("Tag");
             on.press("site:");
             on.press(typed(act, "name"));
         }},
        {Do::Lot, [](const Act&, Thumb&) {}},
        {Do::CountLot, [](const Act&, Thumb&) {}},
        {Do::Enrol,
         [this](const Act& act, Thumb& on) {
             need(on.phone().station.enrol(thumb(text(act, "device")).phone().journal().device(), text(act, "role")));
         }},
        {Do::Parcel,
         [this](const Act& act, Thumb& on) {
             Thumb& to = thumb(text(act, "to"));
             need(exchange(on.phone().journal(), to.phone().journal()));
             to.phone().stock.lookAgain();
             to.waitUntil(act.at);
             emit to.phone().changed();
             app::settle(to.app().window());
         }},
        {Do::Sheet,
         [](const Act& act, Thumb& on) {
             if (!on.app().sheets.isFirstStart()) {
                 on.turnTo("Set up");
                 on.press("Sheets of tags");
                 on.press("Take in a sheet");
             }
             on.type("First code on the sheet", typed(act, "first"));
             on.press("How many tags " + typed(act, "count"));
             on.press(on.app().sheets.isFirstStart() ? "Begin" : "Take it in");
         }},
        {Do::Hand,
         [this](const Act& act, Thumb& on) {
             on.turnTo("Set up");
             on.press("Sheets of tags");
             on.press("Hand tags to another phone");
             on.press("How many, from the end " + typed(act, "count"));
             on.type("The code that the other phone shows",
                     QString::fromStdString(thumb(text(act, "to")).phone().journal().device().text()));
             on.press("Hand on");
             on.press("Done");
         }},
        {Do::Cage,
         [](const Act& act, Thumb& on) {
             on.turnTo("Set up");
             on.press("Cage");
             on.type("Another, by its name", typed(act, "name"));
             on.press("Use ");
         }},
        {Do::Weather,
         [](const Act& act, Thumb& on) {
             on.turnTo("Today");
             on.press("The session");
             on.press(on.app().weather.readings().isEmpty() ? "How is the weather?" : "The weather now");
             on.type("Air, °C", typed(act, "temp_c"));
             on.type("Wind, m/s", typed(act, "wind_m_s"));
             const double cloud = static_cast<double>(act.members.at("cloud_percent").as_int64());
             on.press(QStringLiteral("Clouds, in quarters of the sky %1").arg(std::lround(cloud / 25)));
             on.press(act.members.at("rain").as_bool() ? "Rain? yes" : "Rain? no");
             on.press("Write it down");
         }},
        {Do::Note, [this](const Act& act, Thumb& on) { note(act, on); }},
        {Do::Release,
         [](const Act&, Thumb& on) {
             on.takeUp();
             on.press("Let go");
         }},
        {Do::Hold,
         [](const Act&, Thumb& on) {
             on.takeUp();
             on.press("Into the cage");
         }},
        {Do::Spoiled,
         [this](const Act& act, Thumb& on) {
             if (!has(act, "butterfly"))
                 return on.happened("The tag is spoiled");
             on.turnTo("Held");
             on.press("a tag lies loose");
             on.press(codeOf(text(act, "butterfly")));
         }},
        {Do::Escaped,
         [](const Act& act, Thumb& on) {
             on.happened(text(act, "tag") == "on" ? "It flew with its tag on" : "It flew without a tag");
         }},
        {Do::Untagged,
         [](const Act& act, Thumb& on) {
             on.makeReady(std::nullopt, {});
             on.press(QString::fromStdString(text(act, "sex")));
             on.happened(text(act, "why") == "worn" ? "Too worn to carry a tag" : "Hurt: let go without a tag");
         }},
        {Do::Recaptured,
         [](const Act& act, Thumb& on) {
             on.makeReady(std::nullopt, {});
             on.press("already tagged");
             const QString code = typed(act, "code");
             const QString letters = code.section(QLatin1Char(' '), 0, 0);
             if (on.find("letters " + letters)) {
                 on.press("letters " + letters);
             } else {
                 if (on.find("other letters"))
                     on.press("other letters");
                 for (const QChar letter : letters)
                     on.press(letter);
             }
             for (const QChar digit : code.section(QLatin1Char(' '), 1, 1))
                 on.press(digit);
             on.press("That is it");
             on.press(text(act, "mark") == "worn" ? "How does the tag look? worn" : "How does the tag look? ");
             on.press("Which sex? " + typed(act, "sex"));
             on.press("Write it down");
             if (isMeasured(act)) {
                 on.press("measure, or add a note");
                 fillMeasures(act, on);
             } else {
                 on.press("Back to tagging");
             }
         }},
        {Do::Died,
         [this](const Act& act, Thumb& on) {
             on.turnTo("Held");
             on.press(codeOf(text(act, "butterfly")));
             on.press("it died");
         }},
        {Do::ReleaseCage,
         [this](const Act& act, Thumb& on) {
             on.turnTo("Held");
             on.press("all go, except some");
             for (const auto& stays : act.members.at("except").as_array())
                 on.press(codeOf(std::string(std::string_view(stays.as_string()))));
             on.press(QStringLiteral("%1 go").arg(act.expect->lines.value()));
             m_wasCage = true;
         }},
        {Do::Undo,
         [this](const Act&, Thumb& on) {
             if (std::exchange(m_wasCage, false)) {
                 on.turnTo("Held");
                 return on.press("undo");
             }
             on.takeUp();
             if (on.app().tag.stage() == viewmodels::TagPageModel::InHand)
                 return on.happened("It was a slip: take it back");
             on.press("undo");
         }},
        {Do::Correct,
         [this](const Act& act, Thumb& on) {
             const std::string which = text(act, "butterfly");
             const auto noted = which.starts_with('@') ? m_notes.find(which.substr(1)) : m_notes.end();
             if (noted != m_notes.end() && noted->second.first != on.name()) {
                 need(on.phone().amending.correct(noted->second.second, text(act, "field"), text(act, "value"),
                                                  text(act, "why")));
                 emit on.phone().changed();
                 return;
             }
             on.openStory(codeOf(which));
             on.press("correct …");
             if (text(act, "field") == "sex")
                 on.press(typed(act, "value"));
             else
                 on.type("Code", typed(act, "value"));
             on.press("seen again");
             on.press("Write the correction");
         }},
        {Do::Settle,
         [](const Act& act, Thumb& on) {
             need(on.phone().amending.settle(text(act, "doubt"), text(act, "choice"), text(act, "why")));
         }},
        {Do::Close,
         [](const Act& act, Thumb& on) {
             on.turnTo("Today");
             on.press("The session");
             on.type("Minutes of work", typed(act, "minutes"));
             on.type("People", typed(act, "people"));
             if (has(act, "text"))
                 on.type("Note", typed(act, "text"));
             on.press("End the session");
         }},
        {Do::Reboot, [](const Act&, Thumb& on) { on.restart(); }},
        {Do::Read, [](const Act&, Thumb&) {}},
        {Do::Idle, [](const Act&, Thumb& on) { need(on.phone().journal().idle()); }},
    };

    TemporaryFolder m_folder;
    services::sample::Script m_script;
    std::vector<std::unique_ptr<Thumb>> m_thumbs;
    std::map<std::string, std::vector<Act>> m_waiting;
    std::map<std::string, std::string> m_labels;
    std::map<std::string, std::pair<std::string, journal::Uuid>> m_notes;  ///< by label: phone, line
    bool m_wasCage{false};
};

/// What a journal says in the end of butterflies, tags and sessions, a line each; of this device's own sessions.
std::multiset<std::string> saysOf(storage::Journal& journal) {
    std::multiset<std::string> out;
    auto& projections = journal.projections();
    for (const auto fate : {butterfly::Fate::Noted, butterfly::Fate::Held, butterfly::Fate::Released, butterfly::Fate::Escaped,
                            butterfly::Fate::Died, butterfly::Fate::Untagged, butterfly::Fate::Seen}) {
        for (const auto& b : need(projections.butterfliesWithFate(fate))) {
            std::string line = b.currentCode().value_or("no tag") + " " + std::string(textOf(b.fate)) + " " + b.sex + " " +
                               (b.origin.empty() || fate == butterfly::Fate::Seen ? "?" : b.origin) + (b.isInferred ? " inferred" : "");
            for (const char* name : {"forewing_um", "wear", "wear_scale", "mated", "parasite_sample"})
                if (const auto* value = b.measures.if_contains(name))
                    line += " " + std::string(name) + " " + json::serialize(*value);
            out.insert(line);
        }
    }
    for (const auto& sheet : need(projections.sheets()))
        for (std::uint32_t i = 0; sheet.run && i < sheet.run->count; ++i) {
            const auto state = need(projections.tag(sheet.run->at(i)));
            out.insert("tag " + state.code + " " + std::string(textOf(state.fate)));
        }
    for (const auto& session : need(projections.records(journal::RecordType::Session))) {
        std::string line = "session";
        for (const char* name : {"effort_min", "people"})
            if (const auto number = journal::numberIn(session.members, name))
                line += " " + std::string(name) + " " + std::to_string(*number);
        if (const auto* readings = session.members.if_contains("weather"))
            for (const auto& reading : readings->as_array())
                line += " " + std::to_string(journal::numberIn(reading.as_object(), "air_millicelsius").value_or(-1)) + " " +
                        std::to_string(journal::numberIn(reading.as_object(), "wind_mm_s").value_or(-1));
        out.insert(line);
    }
    return out;
}

/// Plays the day both ways. Returns the taps on all phones.
int playBothWays(const std::string& name) {
    TappedDay day(name);
    const TemporaryFolder folder;
    std::map<std::string, std::multiset<std::string>> replayed;
    services::sample::ReplayOptions options;
    options.folder = sampleSession(name);
    options.journal = folder.path() / "day.discal";
    options.exchange = [](storage::Journal& from, storage::Journal& to) { return exchange(from, to); };
    options.onFinished = [&](const std::string& phone, storage::Journal& journal) { replayed[phone] = saysOf(journal); };
    (void)need(services::sample::replay(options));
    int taps = 0;
    std::int64_t butterflies = 0;
    std::chrono::milliseconds inHand{0};
    for (const auto& thumb : day.thumbs()) {
        INFO(thumb->name());
        const auto tapped = saysOf(thumb->phone().journal());
        const auto& expected = replayed.at(thumb->name());
        CHECK_FALSE(expected.empty());
        std::vector<std::string> missing;
        std::vector<std::string> extra;
        std::set_difference(expected.begin(), expected.end(), tapped.begin(), tapped.end(), std::back_inserter(missing));
        std::set_difference(tapped.begin(), tapped.end(), expected.begin(), expected.end(), std::back_inserter(extra));
        CHECK(missing == std::vector<std::string>());
        CHECK(extra == std::vector<std::string>());
        CHECK(thumb->app().warnings().isEmpty());
        CHECK(need(thumb->phone().journal().file().verify()).lines > 0);
        taps += thumb->taps;
        inHand += thumb->inHand;
        butterflies = need(thumb->phone().projections().butterflyCount());
    }
    std::cout << name << ": " << taps << " taps, set-up and all; " << butterflies << " butterflies, in hand "
              << inHand / 1s / butterflies << " s each" << std::endl;
    return taps;
}

} // namespace

TEST_CASE("Meadow morning can be played with nothing but taps", "[app][played]") { CHECK(playBothWays("meadow-morning") > 100); }
TEST_CASE("Hatch day can be played with nothing but taps", "[app][played]") { CHECK(playBothWays("hatch-day") > 50); }
TEST_CASE("Visitors' day can be played with nothing but taps, but for the meetings of the phones", "[app][played]") {
    CHECK(playBothWays("visitors-day") > 100);
}
