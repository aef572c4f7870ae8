#include "record/database.hpp"

#include <soci/postgresql/soci-postgresql.h>
#include <soci/sqlite3/soci-sqlite3.h>
#include <unistd.h>

#include <cstdlib>
#include <system_error>

namespace budwood::record {

namespace {

namespace fs = std::filesystem;

Failure sqlite_failure(int code) {
  switch (code & 0xFF) {  // the upper bits say more than is needed
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
    case SQLITE_PROTOCOL:
    case SQLITE_SCHEMA:
      return Failure::busy;
    case SQLITE_FULL:
    case SQLITE_IOERR:
      return Failure::full;
    case SQLITE_READONLY:
    case SQLITE_PERM:
      return Failure::read_only;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return Failure::damaged;
    case SQLITE_CANTOPEN:
      return Failure::no_file;
    default:
      return Failure::other;
  }
}

Failure by_words(const std::string& words) {
  if (words.find("no such table") != std::string::npos) return Failure::no_table;
  if (words.find("already exists") != std::string::npos) return Failure::exists;
  if (words.find("is locked") != std::string::npos) return Failure::busy;
  if (words.find("establish connection") != std::string::npos) return Failure::lost;
  if (words.find("malformed") != std::string::npos) return Failure::damaged;
  return Failure::other;
}

/// Classes of SQLSTATE after the SQL standard; 42P01 and 42P07 are PostgreSQL's.
Failure server_failure(const soci::postgresql_soci_error& error) {
  const std::string state = error.sqlstate();
  if (state == "42P01") return Failure::no_table;
  if (state == "42P07" || state == "23505") return Failure::exists;
  if (state.starts_with("40") || state == "55P03") return Failure::busy;
  if (state.starts_with("53")) return Failure::full;
  if (state == "25006") return Failure::read_only;
  // A connection that never came about has no state at all.
  const bool none = state.find_first_not_of(" 0") == std::string::npos;
  const bool gone = none || error.get_error_category() == soci::soci_error::connection_error ||
                    state.starts_with("08") || state.starts_with("57");
  return gone ? Failure::lost : Failure::other;
}

/// What the library says, on one line.
std::string reason_of(const soci::soci_error& error) {
  std::string out;
  for (const char c : error.get_error_message()) {
    const bool gap = c == '\n' || c == '\t' || c == ' ';
    if (!gap) {
      out += c;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

/// A path as SQLite's own form of an address takes it, which Debian's build reads.
std::string address(const fs::path& file, const char* options) {
  constexpr std::string_view plain =
      "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/._-~";
  constexpr std::string_view digits = "0123456789ABCDEF";
  std::string out = "file:";
  for (const char c : fs::absolute(file).string()) {
    const auto byte = static_cast<unsigned char>(c);
    if (plain.find(c) != std::string_view::npos) {
      out += c;
    } else {
      out += '%';
      out += digits[byte >> 4U];
      out += digits[byte & 0xFU];
    }
  }
  return out + options;
}

/// Whether SQLite's own files can stand beside the record.
bool can_write_beside(const fs::path& file) {
  const fs::path folder = fs::absolute(file).parent_path();
  return ::access(folder.c_str(), W_OK) == 0 &&
         (::access(file.c_str(), F_OK) != 0 || ::access(file.c_str(), W_OK) == 0);
}

}  // namespace

Failure failure_of(const soci::soci_error& error) {
  if (const auto* of_file = dynamic_cast<const soci::sqlite3_soci_error*>(&error)) {
    const Failure known = sqlite_failure(of_file->result());
    return known == Failure::other ? by_words(error.what()) : known;
  }
  if (const auto* of_server = dynamic_cast<const soci::postgresql_soci_error*>(&error)) {
    return server_failure(*of_server);
  }
  if (error.get_error_category() == soci::soci_error::connection_error) return Failure::lost;
  return by_words(error.what());
}

void Database::connect_to_file() {
  // From a folder that is read-only a whole record can be read all the same, as long as nobody else
  // writes to it: that is what `immutable` promises, and where nothing can be written it holds.
  const bool writable = can_write_beside(where_.file);
  std::error_code none;
  const bool has_log = fs::exists(where_.file.string() + "-wal", none);
  const bool fixed = access_ == Access::read && !writable && !has_log;
  const std::string to = address(where_.file, fixed ? "?immutable=1" : "?mode=rwc");
  auto opened = std::make_unique<soci::session>(
      soci::sqlite3, "dbname=" + to + " timeout=" + std::to_string(patience));
  if (access_ == Access::write) {
    std::string mode;
    *opened << "pragma journal_mode=wal", soci::into(mode);
    *opened << "pragma synchronous=full";
  }
  session_ = std::move(opened);
}

soci::session& Database::session() {
  if (session_) return *session_;
  if (!is_server()) {
    connect_to_file();
    return *session_;
  }
  setenv("PGCONNECT_TIMEOUT", "10", 0);  // seconds; whoever has set it means something else
  auto opened = std::make_unique<soci::session>(soci::postgresql, where_.server);
  *opened << "set synchronous_commit to on";
  *opened << "set client_min_messages to warning";
  session_ = std::move(opened);
  return *session_;
}

std::string Database::words_for(const soci::soci_error& error) const {
  const std::string name = is_server() ? std::string("The record in the server")
                                       : "`" + where_.file.generic_string() + "`";
  switch (failure_of(error)) {
    case Failure::busy:
      return name + " is in use by another program, for longer than " + std::to_string(patience) +
             " seconds. Try again when that is done.";
    case Failure::full:
      return name + " cannot be written: the disk is full, or does not work.";
    case Failure::read_only:
      return name + " cannot be written: it may only be read.";
    case Failure::no_file:
      return name + " cannot be opened: its folder is read-only, or it is no file.";
    case Failure::damaged:
      return name +
             " is damaged. `budwood record BOOK --export` writes what can still be read of it; "
             "take that into a new record with `--import` once the damaged file is put aside.";
    case Failure::lost:
      return name + " does not answer: " + reason_of(error);
    case Failure::no_table:
    case Failure::exists:
    case Failure::other:
      break;
  }
  return name + ": " + reason_of(error);
}

}  // namespace budwood::record
