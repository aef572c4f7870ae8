#include "page/open/record_watch.hpp"

namespace budwood::page {

namespace {

/// Counting a long record costs a server some milliseconds.
constexpr auto between_questions = std::chrono::seconds(2);

}  // namespace

std::string RecordWatch::stamp(const book::Book& written, bool at_once) {
  const auto where = book::record_of(written);
  const std::string server = where ? where->server : "";
  const bool other = server != server_;
  if (other) {
    store_.reset();
    server_ = server;
  }
  if (server_.empty()) return "";
  const auto moment = std::chrono::steady_clock::now();
  if (other || at_once || moment - asked_ >= between_questions) {
    asked_ = moment;
    ask();
  }
  return server_ + " " + said_;
}

void RecordWatch::ask() {
  if (store_ == nullptr) {
    record::Opened opened = record::open({"", server_}, record::Access::read);
    store_ = std::move(opened.store);
    // Nothing is there to be read until somebody has noted something.
    said_ = opened.problem.empty() ? "empty" : "away";
    if (store_ == nullptr) return;
  }
  std::size_t entries = 0;
  const bool answers = store_->count(entries).empty();
  said_ = answers ? std::to_string(entries) : "away";
  if (!answers) store_.reset();
}

}  // namespace budwood::page
