#pragma once

#include "viewmodels/failure_model.h"

#include <QAbstractListModel>
#include <QImage>

namespace discal::viewmodels {

/// One butterfly's whole life: a row a line, after it what was corrected in it (the old value stays), and what
/// doesn't add up. Any tap can be taken back, and brought again.
class StoryPageModel : public QAbstractListModel {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(QString butterfly READ butterfly NOTIFY refreshed)
    Q_PROPERTY(QString letters READ letters NOTIFY refreshed)
    Q_PROPERTY(QString digits READ digits NOTIFY refreshed)
    Q_PROPERTY(QString summary READ summary NOTIFY refreshed)
    Q_PROPERTY(bool isHeld READ isHeld NOTIFY refreshed)
    Q_PROPERTY(bool isOnlyHere READ isOnlyHere NOTIFY refreshed)
    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)
    // The line that is looked at
    Q_PROPERTY(QString lineText READ lineText NOTIFY lineChanged)
    Q_PROPERTY(QString lineWhen READ lineWhen NOTIFY lineChanged)
    Q_PROPERTY(bool isLineTakenBack READ isLineTakenBack NOTIFY lineChanged)
    /// Everything of that tap goes with it: so many butterflies
    Q_PROPERTY(int actButterflies READ actButterflies NOTIFY lineChanged)
    Q_PROPERTY(bool canTakeBack READ canTakeBack NOTIFY lineChanged)

public:
    enum Kind { Line, Change, Doubt };
    Q_ENUM(Kind)
    enum Role {
        KindRole = Qt::UserRole + 1,
        LineRole,   ///< id of the line that it belongs to
        WhenRole,   ///< "10:42"; with the day where that differs from the row before
        WordsRole,
        OldRole,    ///< of a change: the value that no longer holds
        WhyRole,
        GoneRole,   ///< taken back
        PictureRole, ///< the tag as the camera saw it: a QImage, null where none is kept
        HasPictureRole,
    };
    Q_ENUM(Role)

    explicit StoryPageModel(FieldPhone& phone, QObject* parent = nullptr);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QHash<int, QByteArray> roleNames() const override;

    [[nodiscard]] QString butterfly() const { return QString::fromStdString(m_id); }
    [[nodiscard]] QString letters() const { return m_letters; }
    [[nodiscard]] QString digits() const { return m_digits; }
    [[nodiscard]] QString summary() const { return m_summary; }
    [[nodiscard]] bool isHeld() const { return m_isHeld; }
    [[nodiscard]] bool isOnlyHere() const { return m_isOnlyHere; }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }
    [[nodiscard]] QString lineText() const { return m_lineText; }
    [[nodiscard]] QString lineWhen() const { return m_lineWhen; }
    [[nodiscard]] bool isLineTakenBack() const { return m_isLineTakenBack; }
    [[nodiscard]] int actButterflies() const { return m_actButterflies; }
    [[nodiscard]] bool canTakeBack() const { return m_canTakeBack; }

    /// Reads the story of this butterfly (an id).
    Q_INVOKABLE void read(const QString& butterfly);
    /// Looks at one line (an id) of any story; read() of its butterfly comes with it.
    Q_INVOKABLE void look(const QString& line);
    /// Takes the looked-at line back with all of its tap, or brings it again.
    Q_INVOKABLE bool takeBack();
    Q_INVOKABLE bool bringAgain();
    /// Out of the cage: let go here and now, or dead.
    Q_INVOKABLE bool letGo();
    /// From the hand of the day's next visitor.
    Q_INVOKABLE bool letGoByVisitor();
    Q_INVOKABLE bool died();

signals:
    void refreshed();
    void lineChanged();

private:
    struct Row {
        Kind kind{Line};
        QString line;
        QString when;
        QString words;
        QString old;
        QString why;
        bool isGone{false};
        QImage picture{};
    };
    void refresh();
    void refreshLine();
    void addChanges(std::vector<Row>& rows, const journal::Entry& entry, const QString& line);
    /// The withdrawal of the act that stands, if any.
    [[nodiscard]] std::optional<journal::Uuid> withdrawalOf(const journal::Uuid& act);
    [[nodiscard]] bool finish(Result<services::Saved> saved);

    FieldPhone& m_phone;
    FailureModel m_failure;
    std::vector<Row> m_rows;
    std::string m_id;
    std::string m_line;
    QString m_letters;
    QString m_digits;
    QString m_summary;
    QString m_lineText;
    QString m_lineWhen;
    bool m_isHeld{false};
    bool m_isOnlyHere{true};
    bool m_isLineTakenBack{false};
    bool m_canTakeBack{false};
    int m_actButterflies{0};
};

} // namespace discal::viewmodels
