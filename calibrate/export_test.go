// SPDX-License-Identifier: Apache-2.0

package calibrate

// Believed returns the covariance of what was read and moved, on the mat, by
// which the map of a whole lens was weighed, a row a coordinate, and the
// standard deviations believed of k1, k2 and the lens's middle over half the
// diagonal.
func (m *Map) Believed() (covariance [][]float64, lens [4]float64) {
	v := m.promise.mean
	for i := range v.Rows {
		covariance = append(covariance, v.Data[i*v.Stride:i*v.Stride+v.Cols])
	}
	return covariance, m.promise.fit.lens.believed
}
