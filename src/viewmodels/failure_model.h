#pragma once

#include "viewmodels/field_phone.h"

#include <QObject>
#include <QtQml/qqmlregistration.h>
#include <functional>

namespace discal::viewmodels {

/// What went wrong on a page, in a sentence, until it is put right or understood.
class FailureModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("part of a page's model")
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed)
    /// What is not saved: "RKD 014, female: letting it go is not saved."; empty where it is no save
    Q_PROPERTY(QString unsaved READ unsaved NOTIFY changed)
    Q_PROPERTY(bool canRetry READ canRetry NOTIFY changed)

public:
    using QObject::QObject;
    [[nodiscard]] QString sentence() const { return m_sentence; }
    [[nodiscard]] QString unsaved() const { return m_unsaved; }
    [[nodiscard]] bool canRetry() const { return static_cast<bool>(m_again); }
    void set(const Error& error, std::function<void()> again = {}, const QString& unsaved = {});
    void set(const QString& sentence, std::function<void()> again = {}, const QString& unsaved = {});
    Q_INVOKABLE void retry();
    Q_INVOKABLE void dismiss();

signals:
    void changed();

private:
    QString m_sentence;
    QString m_unsaved;
    std::function<void()> m_again;
};

} // namespace discal::viewmodels
