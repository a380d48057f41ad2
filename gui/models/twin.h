// SPDX-License-Identifier: MIT
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <set>
#include <string>
#include <thread>
#include <vector>

#include "gui/models/loading.h"

namespace spanwright::models {

/// A second copy of the job, with a thread that opens it and works edits out in it, while the first copy is shown.
/// When it is up to date the two change places, and the other one catches up.
///
/// The copy belongs to the thread while it is busy, else to who owns the twin. `done` is called on the thread, each
/// time that it has come to rest.
class Twin {
public:
    /// Brings a copy to another text, without working anything out.
    using Step = std::function<void(JobCopy&)>;

    Twin(std::function<JobCopy()> open, std::shared_ptr<std::atomic<bool>> stop, std::function<void()> done);
    /// Breaks off what is being worked out and waits for the end of the row.
    ~Twin();
    Twin(const Twin&) = delete;
    Twin& operator=(const Twin&) = delete;

    [[nodiscard]] bool isOpen() const; ///< false while the copy is being opened
    [[nodiscard]] bool isIdle() const;
    /// The last work() came to its end.
    [[nodiscard]] bool isComplete() const;
    /// Waits until it rests; false when it does not do so in time.
    bool wait(std::chrono::milliseconds patience) const;
    void waitForEver() const;
    /// Breaks off: comes back when the row that is being worked out is done. Only when open.
    void interrupt();
    /// Takes the steps, then works out what they ask for. Only while idle.
    void work(std::vector<Step> steps);
    /// Only while idle.
    [[nodiscard]] JobCopy& copy() { return m_copy; }
    /// Marks of the members in which something was worked out since this was last asked. Only while idle.
    [[nodiscard]] std::set<std::string> takeTouched() { return std::exchange(m_touched, {}); }

private:
    void run(const std::function<JobCopy()>& open);

    std::shared_ptr<std::atomic<bool>> m_stop;
    std::function<void()> m_done;
    mutable std::mutex m_mutex;
    mutable std::condition_variable m_news;
    bool m_open = false, m_busy = true, m_complete = false, m_quit = false, m_asked = false;
    std::vector<Step> m_steps;
    JobCopy m_copy;
    std::set<std::string> m_touched;
    std::thread m_thread;
};

} // namespace spanwright::models
