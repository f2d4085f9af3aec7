#include "viewmodels/settings_model.h"

#include <QFile>
#include <QGuiApplication>
#include <QMetaProperty>
#include <QPalette>

namespace discal::viewmodels {

SettingsModel::SettingsModel(std::unique_ptr<QSettings> store, QObject* parent)
    : QObject(parent), m_store(std::move(store)) {
    if (m_store)
        for (int i = metaObject()->propertyOffset(); i < metaObject()->propertyCount(); ++i) {
            const QMetaProperty property = metaObject()->property(i);
            const QVariant kept = m_store->value(QLatin1String(property.name()));
            if (property.isWritable() && kept.isValid())
                property.write(this, kept);
        }
    connect(this, &SettingsModel::changed, this, &SettingsModel::keep);
}

bool SettingsModel::isNight() const {
    if (m_theme == QLatin1String("system"))
        return QGuiApplication::palette().color(QPalette::Window).lightness() < 128;
    return m_theme == QLatin1String("night");
}

void SettingsModel::keep() {
    if (!m_store)
        return;
    for (int i = metaObject()->propertyOffset(); i < metaObject()->propertyCount(); ++i) {
        const QMetaProperty property = metaObject()->property(i);
        if (property.isWritable())
            m_store->setValue(QLatin1String(property.name()), property.read(this));
    }
}

QString SettingsModel::credits() {
    QFile file(QStringLiteral(":/credits/CREDITS.md"));
    return file.open(QIODevice::ReadOnly) ? QString::fromUtf8(file.readAll()) : QString();
}

} // namespace discal::viewmodels
