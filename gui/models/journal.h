// SPDX-License-Identifier: MIT
#pragma once

#include <QLockFile>
#include <QObject>
#include <QTimer>

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "gui/models/job_session.h"

namespace spanwright::models {

/// Keeps the unsaved texts of a session in a folder of its own, so that they outlive a crash. The file goes when
/// everything is saved or the session is closed in an orderly way. A job that is open in another window is left alone.
class Journal : public QObject {
    Q_OBJECT

public:
    Journal(JobSession& session, QString folder, QObject* parent = nullptr);
    ~Journal() override;

    struct Found {
        std::vector<std::pair<std::string, std::string>> texts; ///< file, text as it was last edited
        bool fileChanged = false;                               ///< the files are others than those the edits were made in
    };
    /// What an earlier run that did not end well left behind for a job; asked right behind JobSession::open().
    [[nodiscard]] std::optional<Found> found();
    /// Writes at once what is unsaved now.
    void write();
    /// Forgets what is kept for the job that is open.
    void forget();

private:
    [[nodiscard]] QString fileFor(const QString& path) const;
    void follow();
    JobSession& m_session;
    QString m_folder, m_path;
    QTimer m_soon;
    std::unique_ptr<QLockFile> m_lock;
};

} // namespace spanwright::models
