#pragma once

#include "viewmodels/failure_model.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// Named places where butterflies are taken or let go, and the one being added.
class SitesModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    // The site being added
    Q_PROPERTY(QString name MEMBER m_name NOTIFY drafted)
    /// 0 here, 1 typed, 2 by its name only, 3 pointed at on the map, 4 in a town; -1 until said
    Q_PROPERTY(int way MEMBER m_way NOTIFY drafted)
    Q_PROPERTY(QString latitude MEMBER m_latitude NOTIFY drafted)
    Q_PROPERTY(QString longitude MEMBER m_longitude NOTIFY drafted)
    /// How well the typed position is known, and how far the site reaches, in metres
    Q_PROPERTY(QString within MEMBER m_within NOTIFY drafted)
    Q_PROPERTY(QString radius MEMBER m_radius NOTIFY drafted)
    /// The landowner's leave: 0 given, 1 not; -1 not asked yet
    Q_PROPERTY(int leave MEMBER m_leave NOTIFY drafted)
    /// What the map or the town said: [latitude, longitude (degrees times 10^7), uncertainty (millimetres)], or nothing
    Q_PROPERTY(QVariantList placed MEMBER m_placed NOTIFY drafted)
    /// The position as understood: "43.55710, -90.88930 ±6 m"; or what is still to be said
    Q_PROPERTY(QString understood READ understood NOTIFY judged)
    Q_PROPERTY(QString advice READ advice NOTIFY judged)
    Q_PROPERTY(bool canAdd READ canAdd NOTIFY judged)
    /// What was typed looks as if latitude and longitude were the other way round
    Q_PROPERTY(bool canSwap READ canSwap NOTIFY judged)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)
    Q_PROPERTY(QString currentName READ currentName NOTIFY refreshed)
    /// "given at 1 of 2 sites"; empty where there is no site
    Q_PROPERTY(QString leaves READ leaves NOTIFY refreshed)

public:
    enum Role { IdRole = Qt::UserRole + 1, NameRole, HintRole, IsCurrentRole, LeaveRole };

    explicit SitesModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] QString understood() const { return m_understood; }
    [[nodiscard]] QString advice() const { return m_advice; }
    [[nodiscard]] bool canAdd() const { return m_canAdd; }
    [[nodiscard]] bool canSwap() const { return m_canSwap; }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }
    [[nodiscard]] QString currentName() const { return m_currentName; }
    [[nodiscard]] QString leaves() const;

    /// The next butterflies are of this site; empty: of none.
    Q_INVOKABLE void pick(const QString& site);
    /// The landowner of a site of ours was asked: 0 lets us, 1 does not. False with `failure`.
    Q_INVOKABLE bool setLeave(const QString& site, int answer);
    /// Empties the draft: its page opens.
    Q_INVOKABLE void begin();
    /// Asks the receiver anew, where the position is to be here.
    Q_INVOKABLE void lookAgain();
    /// Latitude and longitude as typed change places, where `canSwap`.
    Q_INVOKABLE void swap();
    /// Adds the site and picks it. False with `failure`.
    Q_INVOKABLE bool add();

    /// Another page says where it is: the next begin() leaves the draft as it is.
    Q_INVOKABLE void beginElsewhere() { m_isElsewhere = true; }
    /// What that page said, as `placed` holds it; a site without a name takes the one given.
    Q_INVOKABLE void takePlace(const QVariantList& place, const QString& name, int way);
    /// We are in a town, as `placed` holds it: a site of its name is added, or found, and picked. False with `failure`.
    Q_INVOKABLE bool addTown(const QVariantList& place, const QString& name);

signals:
    void refreshed();
    /// Something was typed or chosen; and what was understood of it
    void drafted();
    void judged();

private:
    enum Way { Here, Typed, NameOnly, OnMap, InTown };
    struct Row {
        std::string id;
        QString name;
        QString hint;
        int leave{-1};  ///< as for the site being added
        std::optional<place::LatLon> at;
    };
    void refresh();
    static void placeRow(Row& row, const boost::json::object& position);
    void understand();
    void readTyped();
    [[nodiscard]] std::optional<place::LatLon> workplaceNow();
    [[nodiscard]] static std::optional<place::Position> placedPosition(const QVariantList& place);
    [[nodiscard]] static QString positionText(std::int64_t latE7, std::int64_t lonE7, std::int64_t uncertaintyMm);

    FieldPhone& m_phone;
    FailureModel m_failure;
    std::vector<Row> m_rows;
    QString m_currentName;
    QString m_name;
    int m_way{-1};
    QString m_latitude;
    QString m_longitude;
    QString m_within;
    QString m_radius;
    int m_leave{-1};
    QVariantList m_placed;
    bool m_isElsewhere{false};
    std::optional<place::Position> m_position;
    std::int64_t m_radiusMm{0};
    QString m_understood;
    QString m_advice;
    bool m_canAdd{false};
    bool m_canSwap{false};
};

} // namespace discal::viewmodels
