#include "catch_compat.hpp"
#include "screen.h"

#include <QColor>
#include <QCoreApplication>
#include <QQmlEngine>
#include <QRegularExpression>
#include <QTranslator>
#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

// Every page, in every look, measured as ux.md asks. Sources of the numbers stand there: 9.6 mm a target (Parhi,
// Karlson, Bederson 2006), 8 dp apart (Google accessibility help), contrast as WCAG 2.2 defines it.

using namespace discal;
using namespace discal::tests;

namespace {

constexpr double kLeast = 60;  // dp: 9.6 mm
constexpr double kApart = 8;   // dp
constexpr double kCorner = 25; // dp: 4 mm

double distance(const QRectF& a, const QRectF& b) {
    const double dx = std::max({0.0, a.left() - b.right(), b.left() - a.right()});
    const double dy = std::max({0.0, a.top() - b.bottom(), b.top() - a.bottom()});
    return std::hypot(dx, dy);
}

bool isInside(const QQuickItem* item, const QQuickItem* other) {
    for (; item != nullptr; item = item->parentItem())
        if (item == other)
            return true;
    return false;
}

void inEveryLook(const std::function<void(const app::Scene&, const app::Look&, QQuickWindow*)>& check) {
    application();
    for (const app::Scene& scene : app::scenes()) {
        const bool isFine = app::show(scene, [&](QQuickWindow* window, app::App& app) {
            for (const app::Look& look : app::looks()) {
                app::put(look, window, app);
                INFO(scene.name.toStdString() << ", " << look.name.toStdString());
                check(scene, look, window);
            }
        });
        INFO(scene.name.toStdString() << " complained; see stderr");
        CHECK(isFine);
    }
}

/// WCAG 2.2, definition of relative luminance and contrast ratio.
double luminance(const QColor& colour) {
    const auto linear = [](double c) { return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4); };
    return 0.2126 * linear(colour.redF()) + 0.7152 * linear(colour.greenF()) + 0.0722 * linear(colour.blueF());
}

double contrast(const QColor& a, const QColor& b) {
    const double la = luminance(a);
    const double lb = luminance(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

/// Large enough, apart from its neighbours, out of the corners.
void checkTargets(QQuickWindow* window) {
    const auto targets = targetsIn(window);
    CHECK_FALSE(targets.empty());
    const double w = window->width();
    const double h = window->height();
    for (std::size_t i = 0; i < targets.size(); ++i) {
        const Target& one = targets[i];
        INFO("\"" << one.name.toStdString() << "\" " << one.area.width() << " x " << one.area.height() << " at "
                  << one.area.x() << ", " << one.area.y());
        CHECK(one.area.width() >= kLeast - 0.5);
        CHECK(one.area.height() >= kLeast - 0.5);
        // The rows of a list pass under the corners as it scrolls.
        if (!one.isScrolled && !one.item->property("isRow").toBool())
            for (const QPointF corner : {QPointF(0, 0), QPointF(w, 0), QPointF(0, h), QPointF(w, h)})
                CHECK(distance(one.area, QRectF(corner, QSizeF(0, 0))) >= kCorner);
        for (std::size_t j = i + 1; j < targets.size(); ++j) {
            const Target& other = targets[j];
            // Whole rows of a ruled list are targets: they touch, and are told apart by their rules.
            const bool areRows = one.item->property("isRow").toBool() && other.item->property("isRow").toBool();
            if (areRows || one.isScrolled != other.isScrolled || isInside(one.item, other.item) || isInside(other.item, one.item))
                continue;
            INFO("beside \"" << other.name.toStdString() << "\"");
            CHECK(distance(one.area, other.area) >= kApart - 0.5);
        }
    }
}

/// No words are cut, or lie over others.
void checkWords(QQuickWindow* window) {
    for (const QString& text : cutTextIn(window)) {
        INFO("cut: " << text.toStdString());
        CHECK(false);
    }
    for (const QString& text : coveredTextIn(window)) {
        INFO("covered: " << text.toStdString());
        CHECK(false);
    }
}

/// Every word a good 40 % longer, as other languages have it, and marked: what stays as it was is no text of ours.
class LongerLanguage : public QTranslator {
public:
    LongerLanguage() { QCoreApplication::installTranslator(this); }
    ~LongerLanguage() override { QCoreApplication::removeTranslator(this); }
    [[nodiscard]] bool isEmpty() const override { return false; }
    [[nodiscard]] QString translate(const char*, const char* source, const char*, int) const override {
        static const QRegularExpression word(QStringLiteral("(?<![%\\w])[A-Za-z’]*[a-z’][A-Za-z’]*"));
        QString text = QString::fromUtf8(source);
        for (auto found = word.match(text); found.hasMatch(); found = word.match(text, found.capturedEnd() + added(found))) {
            QString tail;
            for (qsizetype i = 0; i < added(found); ++i)
                tail += QStringLiteral("áéíóú").at(i % 5);
            text.insert(found.capturedEnd(), tail);
        }
        return text;
    }

private:
    static qsizetype added(const QRegularExpressionMatch& word) { return (word.capturedLength() * 2 + 4) / 5; }
};

/// Pages are read from right to left for as long as this lives.
class RightToLeft {
public:
    RightToLeft() { QGuiApplication::setLayoutDirection(Qt::RightToLeft); }
    ~RightToLeft() { QGuiApplication::setLayoutDirection(Qt::LeftToRight); }
};

/// Where each thing to tap is, by its name, in a few looks of every page.
struct Place {
    QRectF area;
    bool isFixed;  ///< codes are typed and printed from left to right in every language
};
using Places = std::map<QString, Place>;
std::map<QString, Places> placesInFewLooks(const std::function<void(QQuickWindow*)>& check = {}) {
    std::map<QString, Places> out;
    for (const app::Scene& scene : app::scenes())
        CHECK(app::show(scene, [&](QQuickWindow* window, app::App& app) {
            for (const app::Look& look : app::looks()) {
                if (look.isNight || look.name == QLatin1String("small"))
                    continue;
                app::put(look, window, app);
                INFO(scene.name.toStdString() << ", " << look.name.toStdString());
                if (check)
                    check(window);
                Places& places = out[scene.name + QLatin1String(", ") + look.name];
                for (const Target& target : targetsIn(window))
                    places[target.name] = {target.area, target.item->property("isWord").isValid() ||
                                                            target.item->property("picksAny").isValid()};
            }
        }));
    return out;
}

/// That the digits of each code shown in `item` stand to the right of its letters; how many there are.
int checkCodes(QQuickItem* item) {
    if (!item->isVisible())
        return 0;
    int codes = 0;
    if (item->property("text").toString() == QLatin1String("RKD"))
        for (QQuickItem* digits : item->parentItem()->childItems()) {
            bool isNumber = false;
            (void)digits->property("text").toString().toInt(&isNumber);
            // On the tag itself they stand one above the other.
            if (!isNumber || digits->mapToScene({}).y() > item->mapToScene({}).y() + item->height() / 2)
                continue;
            CHECK(digits->mapToScene({}).x() > item->mapToScene({}).x());
            ++codes;
        }
    for (QQuickItem* child : item->childItems())
        codes += checkCodes(child);
    return codes;
}

} // namespace

TEST_CASE("Everything that can be tapped is large enough, apart from its neighbours and out of the corners", "[app]") {
    inEveryLook([](const app::Scene&, const app::Look&, QQuickWindow* window) { checkTargets(window); });
}

TEST_CASE("Everything that can be tapped has a role and a name", "[app]") {
    inEveryLook([](const app::Scene&, const app::Look&, QQuickWindow* window) {
        for (const Target& target : targetsIn(window)) {
            INFO(target.item->metaObject()->className());
            CHECK_FALSE(target.name.trimmed().isEmpty());
            CHECK_FALSE(target.role.isEmpty());
            CHECK(target.role != QLatin1String("NoRole"));
        }
    });
}

TEST_CASE("No words are cut or lie over others, at any size of text", "[app]") {
    inEveryLook([](const app::Scene&, const app::Look&, QQuickWindow* window) { checkWords(window); });
}

TEST_CASE("Pages hold in a language whose words are 40 % longer", "[app]") {
    application();
    const LongerLanguage language;
    REQUIRE(QCoreApplication::translate("TagPage", "Let go %1") == QStringLiteral("Letáé goá %1"));
    inEveryLook([](const app::Scene&, const app::Look&, QQuickWindow* window) {
        checkWords(window);
        checkTargets(window);
    });
}

TEST_CASE("A code is read from left to right in every language", "[app]") {
    application();
    const RightToLeft fromTheRight;
    int codes = 0;
    for (const app::Scene& scene : app::scenes())
        CHECK(app::show(scene, [&](QQuickWindow* window, app::App& app) {
            app::put(app::looks().front(), window, app);
            INFO(scene.name.toStdString());
            codes += checkCodes(window->contentItem());
        }));
    CHECK(codes > 20);
}

TEST_CASE("Read from right to left every page is its mirror image", "[app]") {
    application();
    const auto fromLeft = placesInFewLooks();
    const RightToLeft direction;
    const auto fromRight = placesInFewLooks([](QQuickWindow* window) {
        checkWords(window);
        checkTargets(window);
    });
    REQUIRE(fromLeft.size() == fromRight.size());
    for (const auto& [page, places] : fromLeft) {
        const bool isWide = page.endsWith(QLatin1String("wide"));
        const double width = isWide ? 1100 : 360;
        // The bar of pages changes its side, and the page makes room for it.
        const double bar = isWide && places.contains(QStringLiteral("Tag")) ? 128 : 0;
        for (const auto& [name, place] : places) {
            INFO(page.toStdString() << ": " << name.toStdString());
            const auto mirrored = fromRight.at(page).find(name);
            REQUIRE(mirrored != fromRight.at(page).end());
            const QRectF there = mirrored->second.area;
            INFO(place.area.left() << " to " << place.area.right() << "; mirrored " << there.left() << " to " << there.right());
            CHECK(std::abs(there.left() - (place.isFixed ? place.area.left() - bar : width - place.area.right())) < 1);
        }
    }
}

TEST_CASE("That the permit has ended is said before a butterfly is in hand, and not while one is", "[app]") {
    application();
    for (const app::Scene& scene : app::scenes())
        if (scene.name == QLatin1String("tag-permit-past"))
            CHECK(app::show(scene, [](QQuickWindow* window, app::App& app) {
                const auto isSaid = [&] {
                    const auto texts = textsIn(window);
                    return std::any_of(texts.begin(), texts.end(),
                                       [](const QString& text) { return text.startsWith("The permit ended on 31"); });
                };
                CHECK(isSaid());
                app.tag.note(QStringLiteral("female"));
                app::settle(window);
                REQUIRE(app.tag.stage() == viewmodels::TagPageModel::InHand);
                CHECK_FALSE(isSaid());
            }));
}

TEST_CASE("Numbers stand beside words as people say them", "[app]") {
    application();
    const auto tags = [](int n) {
        return QCoreApplication::translate("discal::viewmodels::SheetsModel", "%n tag(s)", nullptr, n);
    };
    CHECK(tags(1) == "1 tag");
    CHECK(tags(25) == "25 tags");
    for (const app::Scene& scene : app::scenes())
        CHECK(app::show(scene, [&](QQuickWindow* window, app::App&) {
            for (const QString& text : textsIn(window)) {
                INFO(scene.name.toStdString() << ": " << text.toStdString());
                CHECK_FALSE(text.contains(QLatin1String("(s)")));
                CHECK_FALSE(text.contains(QLatin1String("(ies)")));
            }
        }));
}

TEST_CASE("Colours that are used together keep their contrast", "[app]") {
    application();
    app::SamplePhone phone;
    phone.spendMorning(1);
    app::App app(phone.phone(), nullptr);
    REQUIRE(app.load());
    QObject* theme = app.singleton("Theme");
    REQUIRE(theme != nullptr);
    const auto colour = [&](const char* name) { return theme->property(name).value<QColor>(); };
    SECTION("by day, in the sun: text 15:1, icons and outlines 7:1 (ux.md, section 3)") {
        theme->setProperty("night", false);
        CHECK(contrast(colour("ink"), colour("paper")) >= 15);
        CHECK(contrast(colour("ink"), colour("soft")) >= 13);
        CHECK(contrast(colour("onGold"), colour("gold")) >= 9);
        CHECK(contrast(colour("aster"), colour("paper")) >= 7);
        CHECK(contrast(colour("line"), colour("paper")) >= 7);
        CHECK(contrast(colour("quiet"), colour("paper")) >= 7);
        CHECK(contrast(colour("quiet"), colour("soft")) >= 7);
        // Names and marks of a map; its lines are ground, and never needed to act
        CHECK(contrast(colour("ink"), colour("land")) >= 15);
        CHECK(contrast(colour("ink"), colour("water")) >= 13);
        CHECK(contrast(colour("quiet"), colour("land")) >= 7);
        CHECK(contrast(colour("aster"), colour("water")) >= 7);
    }
    SECTION("at night: WCAG AAA for text, 4.5:1 for what is large, and nothing white or blue") {
        theme->setProperty("night", true);
        CHECK(contrast(colour("ink"), colour("paper")) >= 7);
        CHECK(contrast(colour("ink"), colour("soft")) >= 7);
        CHECK(contrast(colour("onGold"), colour("gold")) >= 7);
        CHECK(contrast(colour("aster"), colour("paper")) >= 7);
        CHECK(contrast(colour("quiet"), colour("paper")) >= 4.5);
        CHECK(contrast(colour("ink"), colour("water")) >= 7);
        CHECK(contrast(colour("aster"), colour("water")) >= 7);
        CHECK(contrast(colour("quiet"), colour("land")) >= 4.5);
        for (const char* name : {"paper", "ink", "soft", "gold", "aster", "quiet", "line", "land", "water", "shore", "countyLine",
                                 "regionLine"}) {
            INFO(name);
            CHECK(colour(name).blueF() <= 0.6 * colour(name).redF() + 0.05);
        }
    }
    CHECK(contrast(QColor("#16201B"), QColor("#FFFDF5")) == Approx(16.4).margin(0.05));  // look.md, by another hand
}

TEST_CASE("Words on what takes no tap now are as readable as the rest, by day and at night", "[app]") {
    std::map<QString, int> measured;
    inEveryLook([&](const app::Scene&, const app::Look& look, QQuickWindow* window) {
        const std::function<void(QQuickItem*, QQuickItem*)> measure = [&](QQuickItem* item, QQuickItem* key) {
            if (!item->isVisible())
                return;
            if (item->opacity() < 1)
                FAIL_CHECK("faded, so nobody knows its contrast");
            if (item->inherits("QQuickAbstractButton") && !item->isEnabled())
                key = item;
            if (key != nullptr && item->inherits("QQuickText") && !item->property("text").toString().isEmpty()) {
                const auto* ground = key->property("background").value<QQuickItem*>();
                REQUIRE(ground != nullptr);
                INFO(item->property("text").toString().toStdString());
                const auto colourOf = [](const QQuickItem* one) { return one->property("color").value<QColor>(); };
                CHECK(contrast(colourOf(item), colourOf(ground)) >= 4.5);
                ++measured[look.name];
            }
            for (QQuickItem* child : item->childItems())
                measure(child, key);
        };
        measure(window->contentItem(), nullptr);
    });
    CHECK(measured[QStringLiteral("field")] > 0);
    CHECK(measured[QStringLiteral("night")] > 0);
}

TEST_CASE("For the left hand the keys at the side stand on the other side, and the rest where it was", "[app]") {
    application();
    const auto sideOf = [](QQuickWindow* window, const QString& name) {
        const double middle = targetNamed(window, name).area.center().x();
        return middle < window->width() / 2.0 ? QStringLiteral("left") : QStringLiteral("right");
    };
    struct Case {
        const char* scene;
        QString key;    ///< at the side
        QString fixed;  ///< has none; of the bar in the wide window all keys are at the side
        const char* look;
    };
    const std::vector<Case> cases{
        {"tag-ready", "tagger: MH", "male", "field"},          {"tag-ready", "undo", "female", "field"},
        {"tag-in-hand", "something else happened", "female, as written", "field"},
        {"sheet-digits", "erase", "1", "field"},               {"already", "erase", "3", "field"},
        {"held-empty", "undo", "Held", "field"},               {"today", "Tag", "", "wide"},
        {"sheet-digits", "erase", "9", "large-text"}};
    for (const Case& one : cases)
        for (const app::Scene& scene : app::scenes())
            if (scene.name == QLatin1String(one.scene))
                CHECK(app::show(scene, [&](QQuickWindow* window, app::App& app) {
                    INFO(one.scene << ", " << one.key.toStdString());
                    for (const app::Look& look : app::looks())
                        if (look.name == QLatin1String(one.look))
                            app::put(look, window, app);
                    const bool isBar = one.key == QLatin1String("Tag");
                    const QString was = isBar ? QString() : sideOf(window, one.fixed);
                    CHECK(sideOf(window, one.key) == (isBar ? "left" : "right"));
                    app.settings.setProperty("leftHanded", true);
                    app::settle(window);
                    // A frame: layouts change their direction no sooner
                    (void)window->grabWindow();
                    CHECK(sideOf(window, one.key) == (isBar ? "right" : "left"));
                    if (!isBar)
                        CHECK(sideOf(window, one.fixed) == was);
                    checkWords(window);
                    checkTargets(window);
                }));
}

TEST_CASE("A full record needs taps in the lower 70 % of a small screen only", "[app]") {
    application();
    app::SamplePhone phone;
    phone.spendMorning(3);
    app::App app(phone.phone(), nullptr);
    REQUIRE(app.load());
    QQuickWindow* window = app.window();
    window->resize(360, 640);
    app::settle(window);
    const auto tapLow = [&](const QString& name) {
        const Target target = targetNamed(window, name);
        INFO(name.toStdString() << " at " << target.area.top());
        CHECK(target.area.center().y() >= 0.3 * 640);
        phone.wait(std::chrono::milliseconds(500));
        tap(window, target);
    };
    tapLow(app.tag.letters() + QLatin1Char(' ') + app.tag.digits());
    tapLow(QStringLiteral("female"));
    CHECK(app.tag.stage() == viewmodels::TagPageModel::InHand);
    CHECK(app.tag.handSex() == QLatin1String("female"));
    tapLow(QStringLiteral("Let go"));
    CHECK(app.tag.stage() == viewmodels::TagPageModel::Ready);
    CHECK(app.warnings().isEmpty());
}
