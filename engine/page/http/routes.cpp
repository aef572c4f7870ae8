#include "page/http/routes.hpp"

#include <array>
#include <sstream>

#include "page/assets/assets.hpp"
#include "page/http/guard.hpp"

namespace budwood::page {

namespace {

constexpr int most_streams = 320;
/// More different answers about one plan than many windows ask for.
constexpr std::size_t most_kept = 32U << 20U;
constexpr std::size_t longest_kept_question = 200;
/// How often a window that is gone is noticed.
constexpr auto between_checks = std::chrono::milliseconds(2'000);

/// Addresses of views that can be kept: each gives the same document, which then asks for its data.
constexpr const char* view_addresses =
    R"(/(today|season|sheet|batch|why|needs|results|methods|help)?)";

Question question_of(const httplib::Request& request) {
  std::map<std::string, std::string> words;
  for (const auto& [name, value] : request.params) words.emplace(name, value);
  return Question(std::move(words));
}

void give_asset(const httplib::Request& request, httplib::Response& response, const Asset& asset) {
  response.set_header("ETag", asset.tag);
  response.set_header("Cache-Control", "no-cache");
  if (request.get_header_value("If-None-Match") == asset.tag) {
    response.status = 304;
    return;
  }
  response.set_content_provider(
      asset.bytes.size(), asset.type.c_str(),
      [bytes = asset.bytes](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
        return sink.write(bytes.data() + offset, length);
      });
}

}  // namespace

void give_json_text(httplib::Response& response, const std::string& json, int status) {
  response.status = status;
  response.set_header("Cache-Control", "no-store");
  // With its charset it is not compressed: tokens and what people send must not meet there.
  response.set_content(json, "application/json; charset=utf-8");
}

void give_json(httplib::Response& response, const Json& json, int status) {
  give_json_text(response, text_of(json), status);
}

void refuse(httplib::Response& response, int status, const std::string& problem) {
  give_json(response, {{"problem", problem}}, status);
}

Routes::Routes(const Serving& serving, OpenBook& book, Sessions& sessions)
    : serving_(serving), book_(book), sessions_(sessions), desk_(book.folder()) {}

void Routes::add_to(httplib::Server& server) {
  server.set_pre_routing_handler([this](const Request& request, Response& response) {
    add_safe_headers(request, response);
    const std::string refusal = refusal_of(request, serving_.names);
    if (refusal.empty()) return httplib::Server::HandlerResponse::Unhandled;
    response.status = 403;
    response.set_content(refusal + "\n", "text/plain; charset=utf-8");
    return httplib::Server::HandlerResponse::Handled;
  });
  server.set_exception_handler([](const Request&, Response& response, std::exception_ptr) {
    refuse(response, 500, "Something went wrong here. Nothing was changed.");
  });
  server.set_error_handler([](const Request&, Response& response) {
    if (response.body.empty() && response.status == 404)
      refuse(response, 404, "There is no such page.");
  });
  add_files(server);
  add_pictures(server);
  add_views(server);
  add_events(server);
  add_writing(server);
}

void Routes::add_files(httplib::Server& server) {
  server.Get(view_addresses, [](const Request& request, Response& response) {
    give_asset(request, response, front_page());
  });
  server.Get(R"(/(web|preact|codemirror|colours)/.*)",
             [](const Request& request, Response& response) {
               const Asset* asset = find_asset(request.path);
               if (asset == nullptr) return refuse(response, 404, "There is no such file.");
               give_asset(request, response, *asset);
             });
}

void Routes::add_pictures(httplib::Server& server) {
  using Drawer = bool (*)(std::ostream&, const Snapshot&, const Question&);
  const std::array<std::pair<const char*, Drawer>, 3> all = {{
      {"/picture/batch",
       [](std::ostream& out, const Snapshot& now, const Question& question) {
         return batch_picture(out, now, question["batch"]);
       }},
      {"/picture/results",
       [](std::ostream& out, const Snapshot& now, const Question& question) {
         return results_picture(out, now, question);
       }},
      {"/picture/method",
       [](std::ostream& out, const Snapshot& now, const Question& question) {
         return method_picture(out, now, question["protocol"]);
       }},
  }};
  for (const auto& [path, draw] : all) {
    server.Get(path, [this, draw = draw](const Request& request, Response& response) {
      if (!visitor(request, response, Role::look)) return;
      const std::shared_ptr<Snapshot> now = book_.now();
      const std::lock_guard lock(now->mutex);
      std::ostringstream out;
      if (!draw(out, *now, question_of(request))) {
        return refuse(response, 404, "There is nothing to draw.");
      }
      // A picture carries its own styles, and nothing else.
      response.headers.erase("Content-Security-Policy");
      response.set_header("Content-Security-Policy",
                          "default-src 'none'; style-src 'unsafe-inline'");
      response.set_header("Cache-Control", "no-store");
      response.set_content(out.str(), "image/svg+xml; charset=utf-8");
    });
  }
}

std::optional<Visitor> Routes::visitor(const Request& request, Response& response, Role role) {
  auto who = sessions_.visitor(cookie_of(request, session_cookie));
  if (!who) {
    give_json(response, {{"problem", "Please sign in."}, {"sign_in", true}}, 401);
    return std::nullopt;
  }
  if (who->role < role) {
    refuse(
        response, 403,
        "You may " + std::string(word(who->role)) + ", and not " + std::string(word(role)) + ".");
    return std::nullopt;
  }
  return who;
}

void Routes::view(httplib::Server& server, const std::string& name, RestsOn on, Reader reader) {
  server.Get("/api/" + name, [this, on, reader = std::move(reader)](const Request& request,
                                                                    Response& response) {
    if (!visitor(request, response, Role::look)) return;
    const std::shared_ptr<Snapshot> now = book_.now();
    const std::lock_guard lock(now->mutex);
    // What is not asked for a day is about this one.
    const std::string asked = request.target + " " + calendar::iso_date(record::day_now());
    if (const auto known = now->answers.find(asked); known != now->answers.end()) {
      return give_json_text(response, known->second);
    }
    const Json json = reader(*now, question_of(request));
    if (json.is_null()) return refuse(response, 404, "The book has nothing of this name.");
    std::string text = text_of(json);
    give_json_text(response, text);
    if (on == RestsOn::live || request.target.size() > longest_kept_question) return;
    if (now->answers_size > most_kept) {
      now->answers.clear();
      now->answers_size = 0;
    }
    now->answers_size += asked.size() + text.size();
    now->answers.emplace(asked, std::move(text));
  });
}

Json Routes::state_of(const Visitor& visitor, Snapshot& now) const {
  Json out = state_view(now);
  const std::string trouble = book_.trouble();
  out["token"] = visitor.token;
  out["name"] = visitor.name;
  out["role"] = serving_.read_only ? word(Role::look) : word(visitor.role);
  out["read_only"] = serving_.read_only;
  out["behind"] = book_.behind();
  out["clock"] = calendar::iso_date(record::day_now());
  out["trouble"] = trouble.empty() ? Json::array() : Json::parse(trouble);
  return out;
}

void Routes::add_views(httplib::Server& server) {
  server.Get("/api/state", [this](const Request& request, Response& response) {
    const auto who = visitor(request, response, Role::look);
    if (!who) return;
    const std::shared_ptr<Snapshot> now = book_.now();
    const std::lock_guard lock(now->mutex);
    give_json(response, state_of(*who, *now));
  });
  view(server, "batches", RestsOn::plan,
       [](Snapshot& now, const Question&) { return batches_view(now); });
  view(server, "today", RestsOn::plan, today_view);
  view(server, "season", RestsOn::plan,
       [](Snapshot& now, const Question&) { return season_view(now); });
  view(server, "batch", RestsOn::plan, batch_view);
  view(server, "needs", RestsOn::plan,
       [](Snapshot& now, const Question&) { return needs_view(now); });
  view(server, "why", RestsOn::plan, why_view);
  view(server, "results", RestsOn::plan, results_view);
  view(server, "methods", RestsOn::plan,
       [](Snapshot& now, const Question&) { return methods_view(now); });
  view(server, "method", RestsOn::live, method_view);
  view(server, "topic", RestsOn::live,
       [](Snapshot&, const Question& question) { return topic_view(question); });
  view(server, "sheet", RestsOn::live, sheet_view);
  view(server, "rows", RestsOn::live, rows_view);
}

void Routes::add_events(httplib::Server& server) {
  server.Get("/api/events", [this](const Request& request, Response& response) {
    if (!visitor(request, response, Role::look)) return;
    if (streams_.fetch_add(1) >= most_streams) {
      streams_.fetch_sub(1);
      return refuse(response, 503, "Too many windows are open.");
    }
    stream_events(request, response);
  });
}

void Routes::stream_events(const Request& request, Response& response) {
  response.set_header("Cache-Control", "no-store");
  const std::string session = cookie_of(request, session_cookie);
  const auto last = std::make_shared<std::uint64_t>(book_.events.last());
  response.set_chunked_content_provider(
      "text/event-stream",
      [this, session, last](std::size_t offset, httplib::DataSink& sink) {
        if (offset == 0) {
          // A window that was told of an older plan, before it could hear of this one, asks anew.
          const std::string hello =
              "retry: 2000\nevent: hello\ndata: " + Json({{"turn", book_.now()->turn}}).dump() +
              "\n\n";
          return sink.write(hello.data(), hello.size());
        }
        bool missed = false;
        const std::vector<Event> events = book_.events.after(*last, between_checks, missed);
        if (!sessions_.visitor(session)) return false;
        std::string out = events.empty() ? ":\n\n" : "";
        if (missed) out += "event: planned\ndata: {}\n\n";
        for (const Event& event : events) {
          out += "event: " + event.name + "\ndata: " + event.data + "\n\n";
          *last = event.number;
        }
        return sink.write(out.data(), out.size());
      },
      [this](bool) { streams_.fetch_sub(1); });
}

}  // namespace budwood::page
