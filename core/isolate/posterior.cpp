#include <core/isolate/detail/inner.h>
#include <core/isolate/detail/summary.h>

namespace chockside::isolate {

Result<Posterior> posterior(const Model& model, std::span<const Evidence> evidence)
{
    const auto rows = detail::Rows::make(model);
    if (!rows) return Unexpected{rows.error()};
    const auto weights = detail::weigh(*rows, evidence);
    if (!weights) return Unexpected{weights.error()};
    return detail::summary(*rows, *weights, evidence, true);
}

Result<Reasoner> Reasoner::make(Model model)
{
    auto ground = std::make_shared<Inner::Ground>();
    ground->model = std::move(model);
    auto rows = detail::Rows::make(ground->model);
    if (!rows) return Unexpected{rows.error()};
    ground->rows = std::move(*rows);
    detail::Weights weights(ground->rows);
    Reasoner r;
    r.inner_ = std::make_unique<Inner>(Inner{std::move(ground), std::move(weights), {}});
    return r;
}

Reasoner::Reasoner() = default;
Reasoner::~Reasoner() = default;
Reasoner::Reasoner(Reasoner&&) noexcept = default;
Reasoner& Reasoner::operator=(Reasoner&&) noexcept = default;
Reasoner::Reasoner(const Reasoner& other) : inner_(std::make_unique<Inner>(*other.inner_)) {}

Reasoner& Reasoner::operator=(const Reasoner& other)
{
    if (this != &other) inner_ = std::make_unique<Inner>(*other.inner_);
    return *this;
}

Status Reasoner::add(Evidence e)
{
    inner_->evidence.push_back(std::move(e));
    auto added = inner_->weights.add(inner_->ground->rows, inner_->evidence, inner_->evidence.size() - 1);
    if (!added) inner_->evidence.pop_back();
    return added;
}

const Model& Reasoner::model() const { return inner_->ground->model; }
const std::vector<Evidence>& Reasoner::evidence() const { return inner_->evidence; }

std::vector<double> Reasoner::causes() const
{
    return detail::of_causes(inner_->ground->rows, detail::normalised(inner_->weights.logs()));
}

std::vector<RemedyLikelihood> Reasoner::remedies() const
{
    return detail::of_remedies(inner_->ground->rows, detail::normalised(inner_->weights.logs()));
}

Posterior Reasoner::posterior(bool with_contributions) const
{
    return detail::summary(inner_->ground->rows, inner_->weights, inner_->evidence, with_contributions);
}

} // namespace chockside::isolate
