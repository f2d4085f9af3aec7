#pragma once

#include "viewmodels/field_phone.h"

#include <QObject>
#include <QPointer>
#include <QString>
#include <QStringList>
#include <QTimer>
#include <map>

namespace discal::viewmodels {

/// What is half done on the screen: the page that is open, and what has been typed there. Kept in the journal's file
/// beside the lines, never in one, so that a program that was killed begins again where it stood.
class Drafts : public QObject {
    Q_OBJECT

public:
    explicit Drafts(FieldPhone& phone, QObject* parent = nullptr);

    /// Gives `thing` back what was kept under `page`, if that is younger than half a day, and from then on keeps these
    /// of its properties: each has a signal, and a value that JSON can hold. Changes are written when the event that
    /// made them is over.
    void follow(const QString& page, QObject& thing, const QStringList& properties);
    /// The window's `page`, `trail`, `opened` and `openedWith`; and of its `openedPage` what the page names in `drafts`, until it
    /// closes.
    void followWindow(QObject& window);
    /// What was typed there has been written down, or left: nothing is kept of it, and nothing followed.
    void forget(const QString& page);
    /// Writes what has changed, now. A draft that can't be written is no error: the line will say.
    void keep();

private slots:
    void turn();

private:
    struct Followed {
        QPointer<QObject> thing;
        QStringList properties;
        QByteArray kept;
    };
    [[nodiscard]] static QByteArray read(const Followed& followed);
    void giveBack(const QString& page, QObject& thing, const QStringList& properties);
    void write(const QString& page, const QByteArray& values);

    FieldPhone& m_phone;
    QPointer<QObject> m_window;
    std::map<QString, Followed> m_followed;
    QTimer m_soon;
};

} // namespace discal::viewmodels
