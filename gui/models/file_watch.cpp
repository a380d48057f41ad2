// SPDX-License-Identifier: MIT
#include "gui/models/file_watch.h"

#include <QCryptographicHash>
#include <QFile>
#include <QFileInfo>

namespace spanwright::models {

namespace {
/// Programs write in several steps; the last one counts.
constexpr int kSettle = 150;
} // namespace

FileWatch::FileWatch(QObject* parent) : QObject(parent) {
    m_soon.setSingleShot(true);
    m_soon.setInterval(kSettle);
    connect(&m_soon, &QTimer::timeout, this, &FileWatch::check);
    connect(&m_watcher, &QFileSystemWatcher::fileChanged, this, [this] { m_soon.start(); });
    // A file that is replaced is another file: its folder tells.
    connect(&m_watcher, &QFileSystemWatcher::directoryChanged, this, [this] { m_soon.start(); });
}

QByteArray FileWatch::digest(const QString& file) {
    QFile f(file);
    if (!f.open(QIODevice::ReadOnly)) return {};
    QCryptographicHash hash(QCryptographicHash::Sha256);
    hash.addData(&f);
    return hash.result();
}

void FileWatch::look(const QStringList& files) {
    if (!m_watcher.files().isEmpty()) m_watcher.removePaths(m_watcher.files());
    if (!m_watcher.directories().isEmpty()) m_watcher.removePaths(m_watcher.directories());
    m_known.clear();
    QStringList paths;
    for (const QString& file : files) {
        m_known.insert(file, digest(file));
        if (QFile::exists(file)) paths << file;
        const QString folder = QFileInfo(file).absolutePath();
        if (!paths.contains(folder) && QFile::exists(folder)) paths << folder;
    }
    if (!paths.isEmpty()) m_watcher.addPaths(paths);
    m_soon.stop();
}

void FileWatch::check() {
    QStringList others;
    for (auto it = m_known.begin(); it != m_known.end(); ++it) {
        const QByteArray now = digest(it.key());
        if (QFile::exists(it.key()) && !m_watcher.files().contains(it.key())) m_watcher.addPath(it.key());
        if (now == it.value()) continue;
        it.value() = now;
        others << it.key();
    }
    others.sort();
    if (!others.isEmpty()) Q_EMIT changed(others);
}

} // namespace spanwright::models
