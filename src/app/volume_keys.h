#pragma once

#include "app/tap_guard.h"
#include "viewmodels/settings_model.h"
#include "viewmodels/tag_page_model.h"

#include <QObject>
#include <QQuickWindow>

namespace discal::app {

/// The keys at the phone's edge as the two sexes, for wet fingers and gloves (ux.md, section 8): up is the left one on
/// the Tag page, down the right one. Only where she has set it so, and only while the sexes are on the screen; else the
/// system gets the keys. What has just changed takes none, as with taps.
class VolumeKeys : public QObject {
    Q_OBJECT

public:
    VolumeKeys(viewmodels::TagPageModel& tag, const viewmodels::SettingsModel& settings, const TapGuard& taps,
               QObject* parent = nullptr);
    void follow(QQuickWindow& window);

    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    [[nodiscard]] bool areSexesShown(const QObject& window) const;

    viewmodels::TagPageModel& m_tag;
    const viewmodels::SettingsModel& m_settings;
    const TapGuard& m_taps;
};

} // namespace discal::app
