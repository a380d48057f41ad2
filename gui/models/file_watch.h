// SPDX-License-Identifier: MIT
#pragma once

#include <QFileSystemWatcher>
#include <QHash>
#include <QObject>
#include <QStringList>
#include <QTimer>

namespace spanwright::models {

/// Notices when another program changes, replaces or removes one of a few files. A change that leaves the bytes as
/// they were is none, and our own saving is not told either (see look()).
class FileWatch : public QObject {
    Q_OBJECT

public:
    explicit FileWatch(QObject* parent = nullptr);
    /// Watches these and no others, and takes their bytes now as known.
    void look(const QStringList& files);

Q_SIGNALS:
    /// Files whose bytes are others than when they were last looked at; told once.
    void changed(const QStringList& files);

private:
    void check();
    [[nodiscard]] static QByteArray digest(const QString& file);
    QFileSystemWatcher m_watcher;
    QHash<QString, QByteArray> m_known;
    QTimer m_soon;
};

} // namespace spanwright::models
