// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace spanwright::fuzz {

/// Each takes any bytes whatever and stops the process (abort) when a law is broken; it must not crash, hang or throw.
/// Laws: text() gives the bytes back; tokens are gapless; tidy() is idempotent and changes blanks only.
void readsRows(const std::string& bytes);
/// A unit or value that reads writes a text that reads back to the same bits.
void readsUnits(const std::string& bytes);
/// A sheet calculates to some verdict within its limits; a sheet with an error is never OK.
void calculatesSheet(const std::string& bytes);
/// A job of two small sheets likewise, and its workshop: shares add up, and nothing is proven in spite of an error.
void calculatesJob(const std::string& bytes);
/// Stated values of a sheet or job at other places: a trial gives each member the verdict that the job has with that value
/// stated. Pinned trials have a result or a problem.
void triesSheet(const std::string& bytes);
void triesJob(const std::string& bytes);

} // namespace spanwright::fuzz
