#include <math.h>

#include "outline_parts.h"

/* Going inward, the offset curve of an ellipse is no ellipse: beyond b^2/a it crosses itself and must be
 * trimmed on the long axis. Everything then follows from rolling a ball: from the boundary point of
 * parameter t, moving at v(t) = sqrt(a^2 sin^2 t + b^2 cos^2 t), the ball meets its mirror image on the long
 * axis at R = (b/a) v. The points with R > s are those past t0, sin^2 t0 = (s^2 a^2/b^2 - b^2) / (a^2 -
 * b^2), and A, P, J are integrals of powers of v. With phi = pi/2 - t these are Legendre's integrals of
 * modulus m = 1 - b^2/a^2. */

/* Carlson's symmetric integrals by duplication: B. C. Carlson, "Numerical computation of real or complex
 * elliptic integrals", Numerical Algorithms 10 (1995), from memory; the tests compare with the AGM and with
 * quadrature. */

#define CARLSON_TERMS_SMALL 2e-3 /* the series below leave out sixth powers of the deviations */

/* RF(x, y, 1), x and y >= 0 and not both 0. */
static double carlson_rf(double x, double y)
{
	double z = 1.0;

	for (;;) {
		double mean = (x + y + z) / 3.0;
		double dx = 1.0 - x / mean, dy = 1.0 - y / mean, dz = -(dx + dy);
		double e2 = dx * dy - dz * dz, e3 = dx * dy * dz;

		if (fmax(fabs(dx), fmax(fabs(dy), fabs(dz))) < CARLSON_TERMS_SMALL)
			return (1.0 - e2 / 10.0 + e3 / 14.0 + e2 * e2 / 24.0 - 3.0 * e2 * e3 / 44.0) / sqrt(mean);

		double step = sqrt(x * y) + sqrt(y * z) + sqrt(z * x);

		x = (x + step) / 4.0;
		y = (y + step) / 4.0;
		z = (z + step) / 4.0;
	}
}

/* RD(x, y, 1), x and y >= 0 and not both 0. */
static double carlson_rd(double x, double y)
{
	double z = 1.0, sum = 0.0, power = 1.0;

	for (;;) {
		double mean = (x + y + 3.0 * z) / 5.0;
		double dx = 1.0 - x / mean, dy = 1.0 - y / mean, dz = -(dx + dy) / 3.0;

		if (fmax(fabs(dx), fmax(fabs(dy), fabs(dz))) < CARLSON_TERMS_SMALL) {
			double e2 = dx * dy - 6.0 * dz * dz, e3 = (3.0 * dx * dy - 8.0 * dz * dz) * dz;
			double e4 = 3.0 * (dx * dy - dz * dz) * dz * dz, e5 = dx * dy * dz * dz * dz;
			double series = 1.0 - 3.0 * e2 / 14.0 + e3 / 6.0 + 9.0 * e2 * e2 / 88.0 - 3.0 * e4 / 22.0 -
				9.0 * e2 * e3 / 52.0 + 3.0 * e5 / 26.0;

			return 3.0 * sum + power * series / (mean * sqrt(mean));
		}

		double rx = sqrt(x), ry = sqrt(y), rz = sqrt(z), step = rx * ry + ry * rz + rz * rx;

		sum += power / (rz * (z + step));
		power /= 4.0;
		x = (x + step) / 4.0;
		y = (y + step) / 4.0;
		z = (z + step) / 4.0;
	}
}

/* Integrals of v and v^3 over t0..pi/2, where the cosine of t0 is cos_t and its sine sin_t. */
static void ellipse_arcs(double a_m, double b_m, double cos_t, double sin_t, double *v1, double *v3)
{
	double flat = (b_m / a_m) * (b_m / a_m), m = 1.0 - flat;
	double delta2 = sin_t * sin_t + flat * cos_t * cos_t;
	double rd = carlson_rd(sin_t * sin_t, delta2), f = cos_t * carlson_rf(sin_t * sin_t, delta2);
	double e = f - m * cos_t * cos_t * cos_t * rd / 3.0;

	*v1 = a_m * e;
	/* integral of Delta^3, by differentiating Delta sin cos: Byrd and Friedman 315.01 (from memory) */
	*v3 = a_m * a_m * a_m * (m * sqrt(delta2) * sin_t * cos_t + 2.0 * (1.0 + flat) * e - flat * f) / 3.0;
}

/* NIST DLMF 19.8 and 19.30. A fixed number of steps: the difference of the means can fail to reach zero by one
 * rounding. */
double ellipse_perimeter_m(double a_m, double b_m)
{
	double a = a_m, b = b_m, c2 = (a - b) * (a + b), sum = c2 / 2.0, weight = 1.0;

	for (int step = 0; step < 12 && sqrt(c2) > 1e-15 * a; step++) {
		double c = (a - b) / 2.0, geometric = sqrt(a * b);

		a = (a + b) / 2.0;
		b = geometric;
		c2 = c * c;
		sum += weight * c2;
		weight *= 2.0;
	}
	return 2.0 * OUTLINE_PI * (a_m * a_m - sum) / a;
}

double ellipse_integral_m3(double a_m, double b_m)
{
	double v1, v3, k = b_m / a_m;

	ellipse_arcs(a_m, b_m, 1.0, 0.0, &v1, &v3);
	return 4.0 * (k * k * v3 / 2.0 - b_m * b_m * k * k * v1 / 3.0);
}

/* Nothing is trimmed yet, or the ellipse grows: a parallel curve. */
static struct shore_level ellipse_parallel(const struct shore *shore, double s)
{
	return (struct shore_level){
		.area_m2 = shore->drawn.area_m2 - s * (shore->drawn.perimeter_m - OUTLINE_PI * s),
		.perimeter_m = shore->drawn.perimeter_m - 2.0 * OUTLINE_PI * s,
		.integral_m3 = shore->drawn.integral_m3 -
			s * (shore->drawn.area_m2 - s * (shore->drawn.perimeter_m / 2.0 - OUTLINE_PI * s / 3.0)),
	};
}

struct shore_level ellipse_level(const struct shore *shore, double inset_m)
{
	double a = shore->length_m / 2.0, b = shore->width_m / 2.0, k = b / a, s = inset_m;

	if (s <= b * k)
		return ellipse_parallel(shore, s);

	double cos2 = fmin(1.0, (b - s) * (b + s) / (k * k * (a - b) * (a + b)));
	double cos_t = sqrt(cos2), sin_t = sqrt(1.0 - cos2);
	double rest = atan2(cos_t, sin_t);         /* pi/2 - t0 */
	double turn = atan2(b * cos_t, a * sin_t); /* by how much the tangent turns from t0 on */
	double v1, v2 = (a * a + b * b) * rest / 2.0 + (a * a - b * b) * sin_t * cos_t / 2.0, v3;

	ellipse_arcs(a, b, cos_t, sin_t, &v1, &v3);
	return (struct shore_level){
		.area_m2 = fmax(0.0, 4.0 * (k * v2 - s * v1 - b * b * k * rest / 2.0 + s * s * turn / 2.0)),
		.perimeter_m = fmax(0.0, 4.0 * (v1 - s * turn)),
		.integral_m3 = fmax(0.0,
			4.0 *
				(k * k * v3 / 2.0 - k * s * v2 + s * s * v1 / 2.0 -
					(b * b * k * k * v1 / 3.0 - b * b * k * s * rest / 2.0 +
						s * s * s * turn / 6.0))),
	};
}
