#pragma once

#include "viewmodels/field_phone.h"

#include <QAbstractListModel>
#include <QStringList>
#include <QtQml/qqmlregistration.h>
#include <optional>

namespace discal::viewmodels {

/// One sheet drawn as printed, a row a tag; beside it the way by the last digits.
class SheetPageModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    /// "RKD 001-025"
    Q_PROPERTY(QString name READ name NOTIFY shown)
    /// "12 free, 5 to a row"
    Q_PROPERTY(QString note READ note NOTIFY shown)
    Q_PROPERTY(int nextRow READ nextRow NOTIFY shown)
    /// Other sheets to turn to, this one among them; empty when there is one only.
    Q_PROPERTY(QStringList names READ names NOTIFY shown)
    /// What was typed of the digits at the end of the code, and the codes that end so: free ones here first. With nothing
    /// typed the next free ones, unless the question is what the paper says.
    Q_PROPERTY(QString lastDigits READ lastDigits WRITE setLastDigits NOTIFY typed)
    Q_PROPERTY(QStringList candidates READ candidates NOTIFY typed)
    /// Why there is no candidate, or what to do
    Q_PROPERTY(QString advice READ advice NOTIFY typed)
    Q_PROPERTY(int mostDigits READ mostDigits NOTIFY shown)

public:
    enum Role { CodeRole = Qt::UserRole + 1, LettersRole, DigitsRole, MarkRole, FateRole, IsPickableRole };

    explicit SheetPageModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] QString name() const;
    [[nodiscard]] QString note() const;
    [[nodiscard]] int nextRow() const;
    [[nodiscard]] QStringList names() const { return m_names; }
    [[nodiscard]] QString lastDigits() const { return m_lastDigits; }
    [[nodiscard]] QStringList candidates() const { return m_candidates; }
    [[nodiscard]] QString advice() const;
    [[nodiscard]] int mostDigits() const;
    void setLastDigits(const QString& digits);

    /// Shows the sheet of `code`. It is marked as next, except where the question is what the paper says: then nothing
    /// may suggest an answer.
    Q_INVOKABLE void show(const QString& code, bool marksNext);
    /// One of names().
    Q_INVOKABLE void turnTo(int which);
    /// Tags in a drawn row where `fit` have room: as printed, or the printed row folded evenly.
    Q_INVOKABLE int columns(int fit) const;

signals:
    void shown();
    void typed();

private:
    struct Cell {
        tag::Code code;
        QString mark;
    };
    void refresh();
    void fill(const tag::Sheet& sheet);
    void lookForDigits();
    [[nodiscard]] static QString fateText(const QString& mark);

    FieldPhone& m_phone;
    std::vector<Cell> m_cells;
    std::vector<tag::Sheet> m_sheets;
    std::optional<tag::Run> m_run;
    std::optional<tag::Code> m_next;
    bool m_marksNext{true};
    bool m_isShown{false};
    int m_perRow{0};
    int m_free{0};
    QStringList m_names;
    QString m_lastDigits;
    QStringList m_candidates;
};

} // namespace discal::viewmodels
