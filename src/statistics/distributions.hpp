// The distributions that the other files ask, so that Boost.Math is compiled here only. Degrees of freedom
// need not be whole. Arguments outside a distribution's range are a fault of ours (std::domain_error).
#pragma once

namespace boxfettle {

double normal_density(double z);
double normal_cdf(double z);
double normal_quantile(double p);

double chi_squared_cdf(double x, double degrees);
double chi_squared_quantile(double p, double degrees);
double t_quantile(double p, double degrees);
double t_upper_tail(double t, double degrees);
double noncentral_t_quantile(double p, double degrees, double noncentrality);
double f_upper_tail(double x, double upper_degrees, double lower_degrees);
double beta_quantile(double p, double a, double b);

// At most k of n, each bad with chance p.
double binomial_cdf(double k, double n, double p);
double binomial_probability(double k, double n, double p);
// At most k where `mean` are to be expected.
double poisson_cdf(double k, double mean);

}  // namespace boxfettle
