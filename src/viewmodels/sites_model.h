#pragma once

#include "viewmodels/field_phone.h"

#include <QAbstractListModel>
#include <QtQml/qqmlregistration.h>

namespace discal::viewmodels {

/// Named places where butterflies are taken or let go, and the one being added.
class SitesModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    // The site being added
    Q_PROPERTY(QString name READ name WRITE setName NOTIFY drafted)
    /// 0 here, 1 typed, 2 by its name only; -1 until said
    Q_PROPERTY(int way READ way WRITE setWay NOTIFY drafted)
    Q_PROPERTY(QString latitude READ latitude WRITE setLatitude NOTIFY drafted)
    Q_PROPERTY(QString longitude READ longitude WRITE setLongitude NOTIFY drafted)
    /// How well the typed position is known, and how far the site reaches, in metres
    Q_PROPERTY(QString within READ within WRITE setWithin NOTIFY drafted)
    Q_PROPERTY(QString radius READ radius WRITE setRadius NOTIFY drafted)
    /// The landowner's leave: 0 given, 1 not; -1 not asked yet
    Q_PROPERTY(int leave READ leave WRITE setLeave NOTIFY drafted)
    /// The position as understood: "43.55710, -90.88930 ±6 m"; or what is still to be said
    Q_PROPERTY(QString understood READ understood NOTIFY drafted)
    Q_PROPERTY(QString advice READ advice NOTIFY drafted)
    Q_PROPERTY(bool canAdd READ canAdd NOTIFY drafted)
    Q_PROPERTY(QString failure READ failure NOTIFY failureChanged)
    Q_PROPERTY(QString currentName READ currentName NOTIFY refreshed)

public:
    enum Role { IdRole = Qt::UserRole + 1, NameRole, HintRole, IsCurrentRole };

    explicit SitesModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] QString name() const { return m_name; }
    [[nodiscard]] int way() const { return m_way; }
    [[nodiscard]] QString latitude() const { return m_latitude; }
    [[nodiscard]] QString longitude() const { return m_longitude; }
    [[nodiscard]] QString within() const { return m_within; }
    [[nodiscard]] QString radius() const { return m_radius; }
    [[nodiscard]] int leave() const { return m_leave; }
    [[nodiscard]] QString understood() const { return m_understood; }
    [[nodiscard]] QString advice() const { return m_advice; }
    [[nodiscard]] bool canAdd() const { return m_canAdd; }
    [[nodiscard]] QString failure() const { return m_failure; }
    [[nodiscard]] QString currentName() const { return m_currentName; }
    void setName(const QString& name) { set(m_name, name); }
    void setWay(int way);
    void setLatitude(const QString& latitude) { set(m_latitude, latitude); }
    void setLongitude(const QString& longitude) { set(m_longitude, longitude); }
    void setWithin(const QString& metres) { set(m_within, metres); }
    void setRadius(const QString& metres) { set(m_radius, metres); }
    void setLeave(int leave);

    /// The next butterflies are of this site; empty: of none.
    Q_INVOKABLE void pick(const QString& site);
    /// Empties the draft: its page opens.
    Q_INVOKABLE void begin();
    /// Asks the receiver anew, where the position is to be here.
    Q_INVOKABLE void lookAgain();
    /// Adds the site and picks it. False with `failure`.
    Q_INVOKABLE bool add();
    Q_INVOKABLE void dismissFailure();

signals:
    void refreshed();
    void drafted();
    void failureChanged();

private:
    enum Way { Here, Typed, NameOnly };
    struct Row {
        std::string id;
        QString name;
        QString hint;
    };
    void refresh();
    void set(QString& field, const QString& value);
    void understand();
    [[nodiscard]] static QString positionText(std::int64_t latE7, std::int64_t lonE7, std::int64_t uncertaintyMm);

    FieldPhone& m_phone;
    std::vector<Row> m_rows;
    QString m_currentName;
    QString m_name;
    int m_way{-1};
    QString m_latitude;
    QString m_longitude;
    QString m_within;
    QString m_radius;
    int m_leave{-1};
    std::optional<place::Position> m_position;
    std::int64_t m_radiusMm{0};
    QString m_understood;
    QString m_advice;
    bool m_canAdd{false};
    QString m_failure;
};

} // namespace discal::viewmodels
