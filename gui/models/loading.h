// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>
#include <QString>

#include <atomic>
#include <memory>
#include <optional>
#include <thread>
#include <vector>

#include "gui/models/shared_files.h"
#include "gui/models/shown.h"

namespace spanwright::models {

/// A job and what it reads through; the job goes before its files.
struct JobCopy {
    std::unique_ptr<CopyFiles> files;
    std::unique_ptr<job::Job> job;
};

/// A job that was opened and calculated, with all that the window needs to show it.
struct LoadedJob {
    QString path;
    JobCopy copy;
    std::vector<MemberShown> shown;
    std::shared_ptr<BytesRead> bytes;        ///< what it was read from
    std::shared_ptr<std::atomic<bool>> stop; ///< true: its calculations break off between two rows
    double seconds = 0;                      ///< of processor time that calculating took
    bool readable = false;                   ///< false: the file itself could not be read; the job then says why
};

/// How far a loading has come, as told from its thread, and the wish to give it up.
struct LoadState {
    std::atomic<bool> givenUp{false};
    std::atomic<int> stage{0};
    std::atomic<std::size_t> done{0}, all{0};
};

/// Opens and calculates a job on the thread that calls. Given up, it comes back early, with a job that is worth nothing.
[[nodiscard]] LoadedJob loadJob(io::Files& files, const QString& library, const QString& path, const std::shared_ptr<LoadState>& state);
/// Opens and calculates another copy from the same bytes.
[[nodiscard]] JobCopy openCopy(io::Files& files, const std::string& library, const std::string& path, const std::shared_ptr<BytesRead>& bytes,
                               const std::shared_ptr<std::atomic<bool>>& stop, const std::shared_ptr<LoadState>& state);
/// Processor time of the calling thread in seconds: what other programs do meanwhile does not count.
[[nodiscard]] double threadSeconds();

/// The same on a thread of its own, which can be given up: the window goes on meanwhile.
class Loading : public QObject {
    Q_OBJECT

public:
    Loading(io::Files& files, QString library, QString path, QObject* parent = nullptr);
    /// Gives up and waits for the thread's end.
    ~Loading() override;
    void giveUp() { m_state->givenUp = true; }
    [[nodiscard]] bool isGivenUp() const { return m_state->givenUp; }
    [[nodiscard]] job::Progress progress() const;
    [[nodiscard]] const QString& path() const { return m_path; }
    /// What was loaded; nothing before done() and when it was given up.
    [[nodiscard]] std::optional<LoadedJob> take();

Q_SIGNALS:
    /// Sent once, in the thread that made this; also when given up.
    void done();

private:
    QString m_path;
    std::shared_ptr<LoadState> m_state = std::make_shared<LoadState>();
    std::optional<LoadedJob> m_loaded; ///< the thread's until done() is sent
    bool m_done = false;
    std::thread m_thread;
};

} // namespace spanwright::models
