#pragma once

#include "core/place/map_view.h"
#include "viewmodels/field_phone.h"

#include <QPointF>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// The map: what part of the Earth it shows, the day's butterflies on it, the station's sites, and where we are. Lengths on
/// the screen are in dp, of which 160 make an inch. Names and lines are read from the gazetteer by whoever draws.
class MapPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// "Ridge meadow, 1.2 km NE of Viroqua ... ±6 m", or that nothing is known yet
    Q_PROPERTY(QString place READ place NOTIFY refreshed)
    /// What a picture can't tell somebody who doesn't see it: "420 m across. 12 butterflies within 60 m of Ridge meadow ..."
    Q_PROPERTY(QString words READ words NOTIFY rested)
    /// "13 butterflies, 2 without a position"; empty before the first
    Q_PROPERTY(QString count READ count NOTIFY refreshed)
    Q_PROPERTY(bool hasHere READ hasHere NOTIFY refreshed)
    Q_PROPERTY(bool hasDay READ hasDay NOTIFY refreshed)
    Q_PROPERTY(bool canZoomIn READ canZoomIn NOTIFY viewChanged)
    Q_PROPERTY(bool canZoomOut READ canZoomOut NOTIFY viewChanged)
    /// What lies in the middle, and how well that is known by pointing at it here: "1.2 km NE of Viroqua,
    /// Vernon County, Wisconsin"; in short "1.2 km NE of Viroqua"; "within 35 m"
    Q_PROPERTY(QString middleWords READ middleWords NOTIFY viewChanged)
    Q_PROPERTY(QString middleTown READ middleTown NOTIFY viewChanged)
    Q_PROPERTY(QString middleWithin READ middleWithin NOTIFY viewChanged)
    /// [latitude, longitude (degrees times 10^7), uncertainty (millimetres)]: what is kept of a place pointed at
    Q_PROPERTY(QVariantList middle READ middle NOTIFY viewChanged)

public:
    explicit MapPageModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] QString place() const { return m_place; }
    [[nodiscard]] QString words() const;
    [[nodiscard]] QString count() const { return m_count; }
    [[nodiscard]] bool hasHere() const { return m_here.has_value(); }
    [[nodiscard]] bool hasDay() const { return !m_points.empty(); }
    [[nodiscard]] bool canZoomIn() const;
    [[nodiscard]] bool canZoomOut() const;
    [[nodiscard]] QString middleWords() const;
    [[nodiscard]] QString middleTown() const;
    [[nodiscard]] QString middleWithin() const;
    [[nodiscard]] QVariantList middle() const;

    /// A page with the map opens: all of the day, the site and we are on it. It reads until end().
    Q_INVOKABLE void begin();
    /// The same, where a site is to be placed: about where we are, or the place that was pointed at before.
    Q_INVOKABLE void beginPlacing(const QVariantList& before);
    Q_INVOKABLE void end();
    /// Asks the receiver anew.
    Q_INVOKABLE void lookAgain();
    Q_INVOKABLE void resize(double width, double height);
    Q_INVOKABLE void zoomIn();
    Q_INVOKABLE void zoomOut();
    Q_INVOKABLE void showHere();
    Q_INVOKABLE void showDay();
    /// The place under the point comes into the middle; the butterflies of a count come nearer as well.
    Q_INVOKABLE void tap(const QPointF& point);
    /// So many dp to the right and down.
    Q_INVOKABLE void move(double right, double down);
    Q_INVOKABLE void zoomAbout(double times, const QPointF& point);
    /// One or two fingers hold the map, first here, then there and so many times farther apart, until they let go.
    Q_INVOKABLE void hold(const QPointF& point);
    Q_INVOKABLE void pull(const QPointF& point, double times);
    Q_INVOKABLE void letGo();

    // For whoever draws ------------------------------------------------------------------------------------------

    struct Site {
        QString name;
        place::LatLon at;
        double uncertaintyMetres{0};  ///< of its middle
        double radiusMetres{0};       ///< how far it reaches, that included
        bool isCurrent{false};
    };
    /// One butterfly, or several too close to be told apart.
    struct Mark {
        place::LatLon at;
        int count{1};
        /// Holds the circles of all of them.
        double radiusMetres{0};
        bool isHeld{false};  ///< all of them are in a cage or in the hand
    };
    struct Here {
        place::LatLon at;
        double uncertaintyMetres{0};
    };
    [[nodiscard]] const place::MapView& view() const { return m_view; }
    [[nodiscard]] const std::vector<Mark>& marks() const { return m_marks; }
    [[nodiscard]] const std::vector<Site>& sites() const { return m_sites; }
    [[nodiscard]] const std::optional<Here>& here() const { return m_here; }
    [[nodiscard]] const place::Gazetteer* names() const { return m_phone.session.placeWords().names(); }
    /// Marks nearer than so many dp become one: they would lie over each other as they are drawn.
    void setApart(double dp);
    /// Fingers are on it: what takes long may wait.
    [[nodiscard]] bool isHeld() const { return m_held.has_value(); }

signals:
    void refreshed();
    void viewChanged();
    /// The view has changed, and no finger pulls it any more.
    void rested();

private:
    struct Point {
        place::LatLon at;
        double uncertaintyMetres{0};
        bool isHeld{false};
    };
    struct Hold {
        place::MapView view;
        QPointF point;
    };
    void refresh();
    void readDay();
    void readSites();
    void readHere();
    void gather();
    void fit();
    void show(const place::MapView& view);
    void tellView();
    [[nodiscard]] double middleUncertainty() const;
    [[nodiscard]] QString nameOf(const place::LatLon& at) const;

    FieldPhone& m_phone;
    bool m_isOpen{false};
    bool m_isFitted{false};
    bool m_isPlacing{false};
    std::optional<Point> m_before;
    place::MapView m_view;
    std::optional<Hold> m_held;
    std::vector<Point> m_points;
    std::vector<Mark> m_marks;
    double m_apart{36};
    double m_gatheredAt{0};
    std::vector<Site> m_sites;
    std::optional<Here> m_here;
    QString m_place;
    QString m_count;
};

} // namespace discal::viewmodels
