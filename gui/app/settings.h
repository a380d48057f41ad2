// SPDX-License-Identifier: MIT
#pragma once

#include <QByteArray>
#include <QString>
#include <QStringList>

namespace spanwright::app {

enum class Theme : int { System, Light, Dark };

/// What the window remembers between runs, kept by QSettings. Nothing that a calculation depends on is kept here.
struct Settings {
    Theme theme = Theme::System;
    int letters = 100;     ///< size of letters in per cent of the system's
    QString initials;      ///< of who ticks
    int searchSeconds = 4; ///< how long cutting plans are searched for: at most so long for each material
    int dockWidth = 0;     ///< of what stands beside the grid, in pixels; 0: as usual
    QStringList recent;
    QByteArray geometry, state;

    [[nodiscard]] static Settings load();
    void save() const;
    void touch(const QString& file); ///< puts a file first in `recent`
};

} // namespace spanwright::app
