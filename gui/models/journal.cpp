// SPDX-License-Identifier: MIT
#include "gui/models/journal.h"

#include <QCryptographicHash>
#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QSaveFile>

#include "gui/models/text.h"

namespace spanwright::models {

namespace {

QString hashOf(const QByteArray& bytes) { return QString::fromLatin1(QCryptographicHash::hash(bytes, QCryptographicHash::Sha256).toHex()); }

QString hashOf(const io::Files& files, const std::string& path) {
    const auto read = files.read(path);
    return read ? hashOf(QByteArray::fromStdString(read.value())) : QString();
}

/// Soon enough that little is lost, late enough that typing does not wait for the disk.
constexpr int kDelay = 150;

} // namespace

Journal::Journal(JobSession& session, QString folder, QObject* parent) : QObject(parent), m_session(session), m_folder(std::move(folder)) {
    QDir().mkpath(m_folder);
    m_soon.setSingleShot(true);
    m_soon.setInterval(kDelay);
    connect(&m_soon, &QTimer::timeout, this, &Journal::write);
    connect(&session, &JobSession::settled, this, [this] {
        follow();
        if (m_session.isModified()) m_soon.start();
    });
    connect(&session, &JobSession::saved, this, &Journal::forget);
    connect(&session, &JobSession::modifiedChanged, this, [this](bool modified) {
        if (!modified) forget();
    });
    follow();
}

Journal::~Journal() {
    // An orderly end: whoever closes has saved or has said that the edits may go.
    if (m_lock && m_lock->isLocked()) forget();
}

QString Journal::fileFor(const QString& path) const {
    const QString absolute = QFileInfo(path).absoluteFilePath();
    return m_folder + QLatin1Char('/') + hashOf(absolute.toUtf8()).left(32) + QStringLiteral(".json");
}

void Journal::follow() {
    if (!m_session.isOpen() || m_session.path() == m_path) return;
    if (m_lock && m_lock->isLocked()) forget();
    m_path = m_session.path();
    m_lock = std::make_unique<QLockFile>(fileFor(m_path) + QStringLiteral(".lock"));
    m_lock->setStaleLockTime(0); // only a process that is gone makes it stale
    (void)m_lock->tryLock(0);
}

std::optional<Journal::Found> Journal::found() {
    follow();
    if (!m_lock || !m_lock->isLocked()) return {};
    QFile file(fileFor(m_path));
    if (!file.open(QIODevice::ReadOnly)) return {};
    const QJsonObject kept = QJsonDocument::fromJson(file.readAll()).object();
    Found out;
    for (const QJsonValue& value : kept[QStringLiteral("texts")].toArray()) {
        const QJsonObject text = value.toObject();
        const std::string path = toUtf8(text[QStringLiteral("file")].toString());
        const QByteArray bytes = QByteArray::fromBase64(text[QStringLiteral("bytes")].toString().toLatin1());
        // What is on the disk already is nothing to bring back.
        const auto now = m_session.files().read(path);
        if (path.empty() || (now && now.value() == bytes.toStdString())) continue;
        if (text[QStringLiteral("was")].toString() != hashOf(m_session.files(), path)) out.fileChanged = true;
        out.texts.emplace_back(path, bytes.toStdString());
    }
    if (out.texts.empty()) return {};
    return out;
}

void Journal::write() {
    m_soon.stop();
    if (!m_session.isOpen() || !m_session.isModified() || !m_lock || !m_lock->isLocked()) return;
    QJsonArray texts;
    for (const std::string& path : m_session.filesTouched()) {
        const QByteArray bytes = QByteArray::fromStdString(m_session.text(path).value_or(std::string()));
        texts.append(QJsonObject{{QStringLiteral("file"), fromUtf8(path)},
                                 {QStringLiteral("was"), hashOf(m_session.files(), path)},
                                 {QStringLiteral("bytes"), QString::fromLatin1(bytes.toBase64())}});
    }
    QSaveFile file(fileFor(m_path));
    if (!file.open(QIODevice::WriteOnly)) return;
    file.write(QJsonDocument(QJsonObject{{QStringLiteral("job"), m_path}, {QStringLiteral("texts"), texts}}).toJson(QJsonDocument::Compact));
    file.commit();
}

void Journal::forget() {
    m_soon.stop();
    if (!m_path.isEmpty() && m_lock && m_lock->isLocked()) QFile::remove(fileFor(m_path));
}

} // namespace spanwright::models
