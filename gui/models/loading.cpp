// SPDX-License-Identifier: MIT
#include "gui/models/loading.h"

#include <ctime>
#include <utility>

#include "gui/models/text.h"

namespace spanwright::models {

double threadSeconds() {
    std::timespec now{};
    if (clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now) != 0) return 0;
    return static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec) * 1e-9;
}

JobCopy openCopy(io::Files& files, const std::string& library, const std::string& path, const std::shared_ptr<BytesRead>& bytes,
                 const std::shared_ptr<std::atomic<bool>>& stop, const std::shared_ptr<LoadState>& state) {
    JobCopy copy;
    copy.files = std::make_unique<CopyFiles>(files, bytes);
    job::Options options;
    options.library = library;
    options.cancelled = [stop, state] { return stop->load(std::memory_order_relaxed) || state->givenUp.load(std::memory_order_relaxed); };
    options.progress = [state](const job::Progress& p) {
        state->stage = static_cast<int>(p.stage);
        state->done = p.done;
        state->all = p.all;
    };
    copy.job = job::Job::open(*copy.files, path, options);
    copy.job->calculate();
    return copy;
}

LoadedJob loadJob(io::Files& files, const QString& library, const QString& path, const std::shared_ptr<LoadState>& state) {
    LoadedJob out;
    out.path = path;
    out.bytes = std::make_shared<BytesRead>();
    out.stop = std::make_shared<std::atomic<bool>>(false);
    const double before = threadSeconds();
    out.copy = openCopy(files, toUtf8(library), toUtf8(path), out.bytes, out.stop, state);
    out.seconds = threadSeconds() - before;
    out.readable = out.copy.job->text(toUtf8(path)).has_value();
    for (std::size_t i = 0; i < out.copy.job->memberCount() && !state->givenUp; ++i) out.shown.push_back(lookAt(*out.copy.job, i, out.shown));
    out.copy.job->keepLog(true);
    return out;
}

Loading::Loading(io::Files& files, QString library, QString path, QObject* parent) : QObject(parent), m_path(std::move(path)) {
    m_thread = std::thread([this, &files, library = std::move(library), state = m_state] {
        LoadedJob loaded = loadJob(files, library, m_path, state);
        m_loaded = std::move(loaded);
        QMetaObject::invokeMethod(
            this,
            [this] {
                m_done = true;
                Q_EMIT done();
            },
            Qt::QueuedConnection);
    });
}

Loading::~Loading() {
    // A job that was loaded to its end goes on asking whether it is given up.
    if (!m_done) giveUp();
    m_thread.join();
}

job::Progress Loading::progress() const { return {static_cast<job::Progress::Stage>(m_state->stage.load()), m_state->done.load(), m_state->all.load()}; }

std::optional<LoadedJob> Loading::take() {
    if (!m_done || isGivenUp()) return {};
    return std::exchange(m_loaded, std::nullopt);
}

} // namespace spanwright::models
