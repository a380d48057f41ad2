// SPDX-License-Identifier: MIT
#include "gui/app/settings.h"

#include <QFileInfo>
#include <QSettings>

#include <algorithm>

namespace spanwright::app {

namespace {
constexpr int kMostRecent = 8;
} // namespace

Settings Settings::load() {
    const QSettings kept;
    Settings s;
    s.theme = static_cast<Theme>(std::clamp(kept.value(QStringLiteral("window/theme"), 0).toInt(), 0, 2));
    s.letters = std::clamp(kept.value(QStringLiteral("window/letters"), 100).toInt(), 70, 300);
    s.searchSeconds = std::clamp(kept.value(QStringLiteral("workshop/seconds"), 4).toInt(), 1, 600);
    s.dockWidth = std::clamp(kept.value(QStringLiteral("window/beside"), 0).toInt(), 0, 4000);
    s.initials = kept.value(QStringLiteral("ticks/initials")).toString();
    s.recent = kept.value(QStringLiteral("files/recent")).toStringList();
    s.geometry = kept.value(QStringLiteral("window/geometry")).toByteArray();
    s.state = kept.value(QStringLiteral("window/state")).toByteArray();
    return s;
}

void Settings::save() const {
    QSettings kept;
    kept.setValue(QStringLiteral("window/theme"), static_cast<int>(theme));
    kept.setValue(QStringLiteral("window/letters"), letters);
    kept.setValue(QStringLiteral("window/beside"), dockWidth);
    kept.setValue(QStringLiteral("ticks/initials"), initials);
    kept.setValue(QStringLiteral("workshop/seconds"), searchSeconds);
    kept.setValue(QStringLiteral("files/recent"), recent);
    kept.setValue(QStringLiteral("window/geometry"), geometry);
    kept.setValue(QStringLiteral("window/state"), state);
}

void Settings::touch(const QString& file) {
    const QString path = QFileInfo(file).absoluteFilePath();
    recent.removeAll(path);
    recent.prepend(path);
    while (recent.size() > kMostRecent) recent.removeLast();
}

} // namespace spanwright::app
